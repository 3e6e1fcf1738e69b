"""The tables of fish and crops as files: complete, pinned, ordered and sourced."""

import csv
import math
from importlib.resources import files

import pytest

from rillbed import facts
from rillbed.facts.living import Crop, Species
from rillbed.facts.table import GRADES, read_table

# The crops a beginner is shown first.
FIRST_CROPS = {
    "pak_choi", "tatsoi", "mizuna", "choy_sum", "komatsuna", "lettuce_loose", "lettuce_cos", "radish", "beetroot",
    "celery", "chard", "fennel", "chives", "parsley", "sage", "spring_onion", "basil", "thyme", "oregano",
}  # fmt: skip
TABLES = {"species.csv": (Species, facts.species), "crops.csv": (Crop, facts.crops)}
RECORDS = [
    pytest.param(record, id=f"{name[:-4]}-{key}")
    for name, (_, table) in TABLES.items()
    for key, record in table().items()
]
SUMS = {
    "species.csv": {
        "temp_opt_max_c": 503.0, "temp_feed_stop_low_c": 211.0, "temp_lethal_low_c": 85.4, "tan_max_mg_l": 19.5,
        "nitrite_max_mg_l": 14.3, "do_min_mg_l": 77.0, "do_critical_mg_l": 49.5, "protein_growout_min_pct": 621.0,
        "feed_pctbwd_at_topt_100g": 35.31, "fcr_typical": 28.55, "harvest_weight_g": 8990.0,
        "density_home_max_kg_m3": 344.0, "tgc_typical_per1000": 13.26, "ctmi_topt_c": 478.4, "lw_a_g_cm": 0.19958,
        "o2_rest_a_mg_kg_h": 10569.0,
    },
    "crops.csv": {
        "spacing_default_plants_m2": 2148.5, "germ_days_max": 872.0, "days_in_bed_default": 7429.0,
        "air_t_opt_low_c": 1258.3, "t_opt_c": 1760.0, "frost_kill_c": -320.0, "ph_min": 442.7,
        "yield_kg_fresh_m2_per_crop": 351.89, "dry_matter_fraction": 8.4012, "n_pct_dm": 267.4, "k_pct_dm": 286.52,
        "fe_mg_kg_dm": 12202.0, "n_uptake_g_m2_per_crop": 1743.6, "total_dm_growth_g_m2_d_mean": 585.2,
        "beginner_rank_1easy_5hard": 142.0, "kc_mid": 77.1,
    },
}  # fmt: skip
# Fields that must not fall from left to right.
ORDERS = {
    "species.csv": [
        "temp_lethal_low_c temp_vital_min_c temp_opt_min_c temp_opt_max_c temp_vital_max_c temp_lethal_high_c",
        "temp_lethal_low_c temp_feed_stop_low_c temp_opt_min_c", "ctmi_tmin_c ctmi_topt_c ctmi_tmax_c",
        "ph_min ph_max", "do_critical_mg_l do_min_mg_l do_target_mg_l",
        "protein_growout_min_pct protein_growout_max_pct",
        "protein_growout_min_pct protein_fingerling_pct protein_fry_pct",
        "feed_pctbwd_at_topt_500g feed_pctbwd_at_topt_250g feed_pctbwd_at_topt_100g feed_pctbwd_at_topt_50g"
        " feed_pctbwd_at_topt_20g feed_pctbwd_at_topt_5g",
        "meals_per_day_growout meals_per_day_fingerling meals_per_day_fry", "fcr_min fcr_typical fcr_max",
        "months_to_harvest_min months_to_harvest_max",
        "density_home_beginner_kg_m3 density_home_max_kg_m3 density_published_max_kg_m3",
        "tgc_low_per1000 tgc_typical_per1000 tgc_high_per1000",
    ],
    "crops.csv": [
        "spacing_min_plants_m2 spacing_default_plants_m2 spacing_max_plants_m2", "germ_days_min germ_days_max",
        "germ_t_min_c germ_t_opt_c germ_t_max_c", "first_harvest_days_min first_harvest_days_max",
        "air_t_min_c air_t_opt_low_c air_t_opt_high_c air_t_max_c", "t_base_c t_opt_c t_ceiling_c",
        "frost_kill_c t_base_c", "ph_min ph_max", "ec_min_ms_cm ec_max_ms_cm", "dli_min_mol_m2_d dli_opt_mol_m2_d",
        "sow_air_t_low_c sow_air_t_high_c", "kc_ini kc_mid",
    ],
}  # fmt: skip


def text_of(name):
    return files("rillbed.facts").joinpath(name).read_text("utf-8")


@pytest.mark.parametrize(("name", "count"), [("species.csv", 18), ("crops.csv", 76)])
def test_rows_and_sums_are_pinned(name, count):
    table = TABLES[name][1]()
    assert len(table) == count
    sums = {field: math.fsum(getattr(record, field) or 0.0 for record in table.values()) for field in SUMS[name]}
    assert sums == pytest.approx(SUMS[name], rel=1e-12)


@pytest.mark.parametrize(("name", "order"), [(name, order) for name, orders in ORDERS.items() for order in orders])
def test_ranges_are_ordered(name, order):
    for record in TABLES[name][1]().values():
        values = [value for field in order.split() if (value := getattr(record, field)) is not None]
        assert values == sorted(values), record.id


@pytest.mark.parametrize("record", RECORDS)
def test_every_group_has_a_grade_and_what_is_read_in_print_a_source(record):
    for origin in record.origins:
        assert origin.grade in GRADES
        assert origin.grade != "published" or origin.source
        assert set(origin.source) <= facts.sources().keys()
    assert record.grade in GRADES
    assert all(GRADES.index(origin.grade) <= GRADES.index(record.grade) for origin in record.origins)


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda rows: [[*rows[0], "colour"], *[[*row, "red"] for row in rows[1:]]], "colour"),
        (lambda rows: [row[:-1] for row in rows], "missing"),
        (lambda rows: [*rows, rows[-1]], "must come once"),
        (lambda rows: [rows[0], *[[cell.replace("memory", "hearsay") for cell in row] for row in rows[1:]]], "hearsay"),
        (lambda rows: [rows[0], *[["" if head == "ph_min" else cell for head, cell in zip(rows[0], row, strict=True)]
                                  for row in rows[1:]]], "ph_min"),
    ],
    ids=["unknown column", "missing column", "twice", "grade", "empty"],
)  # fmt: skip
def test_bad_tables_are_refused(name, change, message):
    rows = change(list(csv.reader(text_of(name).splitlines())))
    lines = [",".join(f'"{cell}"' for cell in row) for row in rows]
    with pytest.raises(ValueError, match=message):
        read_table(lines, TABLES[name][0], name)


def test_origin_of_a_figure_is_that_of_its_group():
    trout = facts.species()["rainbow_trout"]
    assert trout.origin_of("do_critical_mg_l") is trout.water_origin
    assert facts.crops()["pak_choi"].origin_of("k_pct_dm").source == ("usda_sr27",)
    with pytest.raises(KeyError, match="colour"):
        trout.origin_of("colour")


def test_first_crops_are_easy_where_their_temperature_fits():
    crops = facts.crops()
    assert crops.keys() >= FIRST_CROPS
    for key in FIRST_CROPS:
        assert 1 <= crops[key].beginner_rank_1easy_5hard <= 3
        assert crops[key].nutrient_demand in {"low", "medium"}


def test_units_are_sane():
    for fish in facts.species().values():
        assert 6.0 <= fish.ph_min < fish.ph_max <= 9.0
        assert 0.0 < fish.tan_max_mg_l <= 3.0
        assert 20.0 < fish.protein_growout_min_pct < 60.0
        assert "never release" in fish.legal_caution
        # The cardinal curve needs its optimum in the upper half (Rosso et al. 1993).
        assert fish.ctmi_topt_c > (fish.ctmi_tmin_c + fish.ctmi_tmax_c) / 2.0
    for crop in facts.crops().values():
        shares = (crop.dry_matter_fraction, crop.harvest_index_dm, crop.edible_fraction)
        assert all(0.0 < share <= 1.0 for share in shares)
        minerals = crop.n_pct_dm * 6.25 + crop.p_pct_dm + crop.k_pct_dm + crop.ca_pct_dm + crop.mg_pct_dm
        assert minerals < 100.0
        assert {crop.media_bed, crop.raft_dwc, crop.nft} <= {"good", "possible", "no"}


def test_uptake_follows_from_yield_and_composition():
    # Half a unit of the last digit: totals 0.1, N rates 0.01, N content 0.01 %. Days in bed were rounded after use.
    for crop in facts.crops().values():
        eaten = 1000.0 * crop.yield_kg_fresh_m2_per_crop * crop.dry_matter_fraction
        total = eaten / crop.harvest_index_dm
        nitrogen = (eaten * crop.n_pct_dm + (total - eaten) * crop.residue_n_pct_dm) / 100.0
        shortest, longest = crop.days_in_bed_default - 0.5, crop.days_in_bed_default + 0.5
        slack = 1.1 * (0.05 + eaten * 0.005 / 100.0)
        assert crop.n_uptake_g_m2_per_crop == pytest.approx(nitrogen, abs=slack), crop.id
        growth, uptake = crop.total_dm_growth_g_m2_d_mean, crop.n_uptake_g_m2_d_mean
        assert total / longest - 0.055 <= growth <= total / shortest + 0.055, crop.id
        assert nitrogen / longest - 0.0055 <= uptake <= nitrogen / shortest + 0.0055, crop.id


def test_butterhead_as_in_the_composition_tables():  # USDA SR27 entry 11250: water 95.63 g, protein 1.35 g, K 238 mg
    lettuce = facts.crops()["lettuce_butterhead"]
    assert lettuce.dry_matter_fraction == pytest.approx(1.0 - 0.9563)
    assert lettuce.n_pct_dm == pytest.approx(100.0 * 1.35 / 6.25 / 4.37, abs=0.005)
    assert lettuce.k_pct_dm == pytest.approx(100.0 * 0.238 / 4.37, abs=0.005)


@pytest.mark.parametrize("name", [*TABLES, "sources.toml"])
def test_text_is_plain_and_names_no_product(name):
    text = text_of(name)
    assert not set("®™©") & set(text)
    assert "http" not in text


@pytest.mark.parametrize(
    ("key", "word"),
    [("water_spinach", "Prohibited"), ("watercress", "weed"), ("taro", "oxalate"), ("sorrel", "oxalate")],
)
def test_cautions_of_law_and_health_are_kept(key, word):
    assert word in facts.crops()[key].note
