"""Every TOML table: it loads, it is graded and sourced, and what it says is consistent."""

import math
from importlib.resources import files

import pytest

from rillbed import facts, units
from rillbed.facts import trouble
from rillbed.facts.load import rows_of
from rillbed.facts.supplies import AmmoniaSource
from rillbed.facts.table import GRADES

TABLES = {
    "ammonia_sources": (facts.ammonia_sources, 6), "supplements": (facts.supplements, 29), "feeds": (facts.feeds, 5),
    "element_fractions": (facts.element_fractions, 13), "media": (facts.media, 8), "kits": (facts.kits, 19),
    "feed_rate_bands": (facts.feed_rate_bands, 8), "priors": (facts.priors, 51), "hazards": (facts.hazards, 19),
}  # fmt: skip
ROWS = [pytest.param(row, id=f"{name}-{row.id}") for name, (table, _) in TABLES.items() for row in table().values()]

SUMS = {
    "ammonia_sources": {"n_pct": 112.378, "cl_pct": 66.695, "k_pct": 1.505, "alkalinity_eq_per_g": 0.0058716},
    "supplements": {"k_pct": 347.545, "ca_pct": 166.411, "fe_pct": 39.023, "alkalinity_eq_per_g": 0.1190928},
    "feeds": {"protein_pct": 181.0}, "element_fractions": {"content_g_kg": 53.6527, "dissolved": 5.46},
    "media": {"surface_m2_m3": 4500.0, "pore_fraction": 4.38}, "priors": {"median": 129.011, "ln_sd": 19.94},
    "feed_rate_bands": {"low_g_m2_day": 238.0, "high_g_m2_day": 403.0},
}  # fmt: skip

# IUPAC abridged standard atomic weights (2021) over the charge each element carries as a dissolved ion.
GRAMS_PER_EQ = {
    "k_pct": 39.098, "na_pct": 22.990, "ca_pct": 40.078 / 2, "mg_pct": 24.305 / 2, "mn_pct": 54.938 / 2,
    "cl_pct": -35.45, "s_pct": -32.06 / 2, "p_pct": -30.974, "no3_n_pct": -14.007, "mo_pct": -95.95 / 2,
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_row_counts_are_pinned(name):
    table, count = TABLES[name]
    assert len(table()) == count


@pytest.mark.parametrize("name", SUMS)
def test_column_sums_are_pinned(name):
    rows = TABLES[name][0]().values()
    assert {field: math.fsum(getattr(row, field) for row in rows) for field in SUMS[name]} == pytest.approx(SUMS[name])


@pytest.mark.parametrize("row", ROWS)
def test_every_row_has_a_grade_and_what_is_read_in_print_a_source(row):
    assert row.grade in GRADES
    assert row.source or row.grade in ("practice", "memory")
    assert set(row.source) <= facts.sources().keys()


@pytest.mark.parametrize("name", TABLES)
def test_text_is_plain_and_names_no_product(name):
    text = files("rillbed.facts").joinpath(f"{name}.toml").read_text("utf-8")
    assert not set("®™©") & set(text)
    assert "http" not in text


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda text: text + 'colour = "red"\n', "urea: unknown field colour; allowed are"),
        (lambda text: text.replace("n_pct = 46.6\n", ""), "urea: n_pct must be given"),
        (lambda text: text.replace("46.6", '"much"'), "n_pct = 'much' must be of type float"),
        (lambda text: text.replace("46.6", "nan"), "n_pct = nan must be of type float"),
        (lambda text: text.replace('"urea"\nn', '"gas"\nn'), "form = 'gas', allowed are solution"),
        (lambda text: text.replace("memory", "hearsay"), "grade = 'hearsay', allowed are published"),
        (lambda text: text + "cautions = [1]\n", "cautions = 1 must be of type str"),
        (lambda text: text + 'id = "other"\n', "unknown field id"),
    ],
    ids=["unknown", "missing", "type", "not a number", "choice", "grade", "list", "id"],
)
def test_bad_rows_are_refused(change, message):
    text = """
        [urea]
        name = "Urea"
        form = "urea"
        n_pct = 46.6
        strength_of = "purity"
        reference_strength_pct = 100
        at_once_share = 0.0
        grade = "memory"
        """.replace("        ", "")
    assert rows_of(text, AmmoniaSource, "made")["urea"].n_pct == 46.6
    with pytest.raises(ValueError, match=message):
        rows_of(change(text), AmmoniaSource, "made")


@pytest.mark.parametrize("key", ["base", "salt"])
def test_charges_of_pure_salts_balance_their_alkalinity(key):
    salts = [row for row in facts.supplements().values() if row.kind == key]
    assert len(salts) >= 7
    for row in salts:
        charge = sum(getattr(row, field) / 100.0 / grams for field, grams in GRAMS_PER_EQ.items())
        assert row.alkalinity_eq_per_g == pytest.approx(charge, abs=2e-6), row.id


def test_acids_take_as_much_alkalinity_as_they_bring_of_their_anion():
    # IUPAC weights: HCl gives one proton for each Cl, H3PO4 one for each P down to H2PO4-.
    table = facts.supplements()
    assert table["hydrochloric_acid"].alkalinity_eq_per_g == pytest.approx(-0.09723 / 35.45, rel=1e-3)
    assert table["phosphoric_acid"].alkalinity_eq_per_g == pytest.approx(-0.03161 / 30.974, rel=1e-3)
    assert table["sodium_ascorbate"].per_g_chlorine == pytest.approx(198.11 / 70.90, rel=1e-3)


def test_ammonium_salts_are_neutral_and_the_solution_is_its_own_base():
    table = facts.ammonia_sources()
    for key in ("ammonium_chloride", "ammonium_sulfate"):
        row = table[key]
        anion = row.cl_pct / 35.45 + 2 * row.s_pct / 32.06
        assert row.n_pct / 14.007 == pytest.approx(anion, rel=1e-4)
    solution = table["ammonia_solution"]
    assert solution.alkalinity_eq_per_g == pytest.approx(solution.n_pct / 100.0 / 14.007, rel=1e-3)
    assert solution.reference_strength_pct * 14.007 / 17.031 == pytest.approx(solution.n_pct, rel=1e-3)
    assert list(solution.densities_g_ml) == sorted(solution.densities_g_ml, reverse=True)
    assert list(solution.strengths_pct) == sorted(solution.strengths_pct)
    assert len(solution.strengths_pct) == len(solution.densities_g_ml)


def test_shares_of_a_supply_stay_below_the_whole():
    for row in [*facts.supplements().values(), *facts.ammonia_sources().values()]:
        shares = [value for field in row.__dataclass_fields__ if field[-4:] == "_pct" and "strength" not in field
                  and (value := getattr(row, field)) is not None]  # fmt: skip
        assert all(0.0 <= share <= 100.0 for share in shares), row.id
        assert sum(shares) < 100.0 + 1e-9 or row.id == "sodium_chloride", row.id


def test_labels_of_emulsion_and_seaweed():
    # Common practice, no source: an emulsion brings nitrogen and nearly everything else, seaweed potassium and traces.
    emulsion = facts.ammonia_sources()["fish_emulsion"]
    assert emulsion.p_pct == pytest.approx(1.0 / 2.2913, abs=0.001)  # 5-1-1 counts P2O5 and K2O
    assert emulsion.k_pct == pytest.approx(1.0 / 1.2046, abs=0.001)
    assert all(getattr(emulsion, f"{element}_pct") > 0.0 for element in ("ca", "mg", "s", "na", "cl", "fe"))
    # What fish keep of feed: g/kg times share to fish.
    kept = {key: row.content_g_kg * row.to_fish for key, row in facts.element_fractions().items()}
    assert emulsion.ca_pct / emulsion.p_pct == pytest.approx(kept["ca"] / kept["p"], rel=0.02)
    assert emulsion.s_pct / emulsion.mg_pct == pytest.approx(kept["s"] / kept["mg"], rel=0.02)
    for key in ("seaweed_powder", "seaweed_liquid"):
        seaweed = facts.supplements()[key]
        assert seaweed.organic
        assert seaweed.k_pct > 5 * seaweed.n_pct
        assert "seaweed.not_for_cycling" in seaweed.cautions
    assert not facts.supplements().keys() & facts.ammonia_sources().keys() & facts.feeds().keys()


def test_fates_of_elements_sum_to_one_and_lie_in_their_ranges():
    for row in facts.element_fractions().values():
        assert row.to_fish + row.to_solids + row.dissolved == pytest.approx(1.0, abs=1e-9), row.id
        for low, middle, high in (
            (row.content_low_g_kg, row.content_g_kg, row.content_high_g_kg),
            (row.dissolved_low, row.dissolved, row.dissolved_high),
        ):
            assert low is None or low <= middle <= high, row.id


def test_feeds_and_bands_are_ordered():
    protein = [row.protein_pct for row in facts.feeds().values()]
    assert protein == sorted(protein)
    # Common practice, no source: feed protein is usually 30-45 %, leafy beds take 20-50 g/m2/day, fruiting ones more.
    assert min(protein) <= 30 <= 45 <= max(protein)
    bands = facts.feed_rate_bands()
    assert all(0 < row.low_g_m2_day < row.high_g_m2_day for row in bands.values())
    assert 20 <= bands["leafy"].low_g_m2_day < bands["leafy"].high_g_m2_day <= 50 <= bands["fruiting"].low_g_m2_day
    for row in facts.media().values():
        assert row.surface_low_m2_m3 is None or row.surface_low_m2_m3 <= row.surface_m2_m3 <= row.surface_high_m2_m3
        assert 0.3 < row.pore_fraction < 0.9


def test_kits_rise_and_their_units_are_known():
    for row in facts.kits().values():
        assert list(row.steps) == sorted(set(row.steps)), row.id
        assert (row.kind == "meter") == (not row.steps)
        assert row.wait_minutes is None  # the user's own
        if row.unit == "dKH":
            assert units.convert(1.0, row.unit, "meq/L") == pytest.approx(0.35665, abs=1e-5)
        else:
            assert row.unit in ("", "mg/L", "mS/cm")
    grown = {"tan", "no2", "no3", "ph", "alkalinity", "gh"}
    assert grown <= {row.quantity for row in facts.kits().values()}


def test_parameters_are_those_of_the_model_and_sane():
    table = facts.priors()
    # Table of the model's parameters: median and spread of the logarithm.
    for key, median, spread in [("mu_a", 0.60, 0.30), ("decay", 0.06, 0.35), ("cap_a0_tap", 0.004, 1.5),
                                ("k_denit", 0.010, 0.7), ("kla_o2", 20.0, 0.6), ("fe_loss", 0.08, 0.7)]:  # fmt: skip
        assert (table[key].median, table[key].ln_sd) == (median, spread)
    for row in table.values():
        assert row.median > 0
        assert (row.ln_sd == 0) == (row.role == "fixed")
        assert row.why
        assert not row.id.endswith("_factor") or row.median == 1.0
    for element in ("n", "k", "ca", "mg", "p"):
        assert table[f"{element}_crit_pct"].median < table[f"{element}_lux_pct"].median


def test_no_source_stands_idle():
    tables = (facts.species, facts.crops, facts.towns, facts.facts, facts.water_limits, facts.growth_classes,
              facts.dilution_curves, trouble.clues, trouble.findings, trouble.actions, trouble.bans,
              *(table for table, _ in TABLES.values()))  # fmt: skip
    assert {key for table in tables for row in table().values() for key in row.source} == facts.sources().keys()
