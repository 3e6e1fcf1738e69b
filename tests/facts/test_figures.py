"""Single figures and limits of water: pinned, graded, sourced, and right by a second route."""

import math
from importlib.resources import files
from itertools import pairwise

import pytest

from rillbed import facts, units
from rillbed.facts.load import rows_of
from rillbed.facts.records import Fact
from rillbed.facts.table import GRADES

FIGURES = [pytest.param(fact, id=key) for key, fact in facts.facts().items() if key not in facts.choices()]
LIMITS = [pytest.param(row, id=key) for key, row in facts.water_limits().items()]
COUNTS = {"ammonia": 20, "atoms": 15, "carbonate": 9, "climate": 21, "dosing": 35, "feed": 5, "nitrifier": 16,
          "growth": 6, "solids": 2, "oxygen": 16, "plan": 36, "plants": 29, "start": 9,
          "source": 6, "verdict": 30}  # fmt: skip
PLAIN = {"1", "%", "V", "W", "meq", "mS", "s", "kPa", "mol", "kJ", "atm", "MJ", "K4", "ppm_CaCO3", "K"}
SAFETY = {"act", "emergency", "ceiling"}


def known(unit):
    for part in unit.replace(" ", "/").split("/"):
        if part not in PLAIN:
            try:
                units.convert(1.0, part, part)
            except units.UnitError:
                return False
    return True


def test_numbers_per_family_are_pinned():
    families = [key.split(".")[0] for key in facts.facts() if key not in facts.choices()]
    assert {family: families.count(family) for family in COUNTS} == COUNTS
    assert len(facts.water_limits()) == 75


@pytest.mark.parametrize("fact", FIGURES)
def test_every_figure_has_its_provenance(fact):
    assert fact.grade in GRADES
    assert set(fact.source) <= facts.sources().keys()
    if fact.grade == "published":
        assert fact.source
        assert fact.at
    if fact.grade == "derived":
        assert fact.how
    values = fact.value if isinstance(fact.value, tuple) else (fact.value,)
    assert all(math.isfinite(v) for v in values)
    if not isinstance(fact.value, tuple):
        assert fact.low is None or fact.low <= fact.value
        assert fact.high is None or fact.value <= fact.high
    assert all(len(ends) == 2 and ends[0] < ends[1] for ends in fact.valid.values())
    assert known(fact.unit), fact.unit


@pytest.mark.parametrize("row", LIMITS)
def test_every_limit_has_its_provenance_and_no_safety_limit_rests_on_memory(row):
    assert set(row.source) <= facts.sources().keys()
    assert row.low is not None or row.high is not None
    assert row.low is None or row.high is None or row.low < row.high
    assert row.grade != "memory"
    if row.level in SAFETY:
        assert row.source
    assert row.unit == "" or known(row.unit)


@pytest.mark.parametrize("quantity", ["nh3", "no2", "no3", "co2"])
def test_bands_meet_at_their_ends(quantity):
    table = facts.water_limits()
    bands = [table[key] for level in ("good", "watch", "act", "emergency") if (key := f"{quantity}_{level}") in table]
    assert len(bands) >= 3
    assert all(lower.high == upper.low for lower, upper in pairwise(bands))
    assert bands[-1].high is None


def test_limits_for_the_ion_are_turned_into_nitrogen():
    table = facts.water_limits()
    assert table["no2_warm_fish"].high == pytest.approx(units.convert_basis(1.0, "NO2", "N"), abs=5e-4)
    assert table["no2_cold_fish"].high == pytest.approx(units.convert_basis(0.1, "NO2", "N"), abs=5e-5)
    assert table["no3_warm_fish"].high == pytest.approx(units.convert_basis(400.0, "NO3", "N"), abs=0.05)
    assert table["no3_plants"].high == pytest.approx(units.convert_basis(250.0, "NO3", "N"), abs=0.05)
    assert table["s_plants"].high == pytest.approx(units.convert_basis(100.0, "SO4", "S"), abs=0.05)


def test_figures_are_asked_for_by_key():
    assert facts.value("air.co2_uatm") == facts.choice("air.co2_uatm")
    fact = facts.fact("ammonia.pka_slope")
    assert (fact.key, fact.value, fact.unit) == ("ammonia.pka_slope", 2729.92, "K")
    assert fact.valid == {"temp_c": (0.0, 50.0)}
    assert facts.series("carbonate.phosphate_pk")[1] == 7.198
    with pytest.raises(KeyError, match=r"ammonia\.colour"):
        facts.value("ammonia.colour")
    with pytest.raises(TypeError, match="series"):
        facts.value("carbonate.k1")
    with pytest.raises(TypeError, match="value"):
        facts.series("ammonia.pka_slope")


@pytest.mark.parametrize(
    ("extra", "message"),
    [('colour = "red"', "unknown field colour"), ("value = true", "value = True must be of type float"),
     ('value = [1, "two"]', "value = 'two' must be of type float"), ('value = 1\nread = "never"', "read = 'never'"),
     ("value = 1\nvalid = { temp_c = 3 }", "valid = 3 must be of type")],
)  # fmt: skip
def test_bad_figures_are_refused(extra, message):
    text = f'[made]\nunit = "1"\ngrade = "practice"\n{extra}\n' + ("" if "value" in extra else "value = 1\n")
    with pytest.raises(ValueError, match=message):
        rows_of(text, Fact, "made")


def test_ammonia_as_printed():  # pKa 9.2464 at 25 degC; fraction 0.0502 at pH 8, 24 degC (IFAS FA16, Table 1)
    def pka(temp_c):
        return facts.value("ammonia.pka_offset") + facts.value("ammonia.pka_slope") / (temp_c + 273.15)

    assert pka(25.0) == pytest.approx(9.2464, abs=5.5e-5)
    assert 1.0 / (1.0 + 10.0 ** (pka(24.0) - 8.0)) == pytest.approx(0.0502, abs=5.5e-5)


def test_ammonia_criteria_as_printed():  # EPA 2013 headline at pH 7, 20 degC: 17 acute, 1.9 chronic
    def two_sided(kind, knee, ph=7.0):
        low, high = facts.value(f"{kind}_low_ph"), facts.value(f"{kind}_high_ph")
        return high / (1.0 + 10.0 ** (knee - ph)) + low / (1.0 + 10.0 ** (ph - knee))

    acute = facts.value("ammonia.acute_scale") * two_sided("ammonia.acute", facts.value("ammonia.acute_ph_knee"))
    assert acute * facts.value("ammonia.acute_at_20c") == pytest.approx(16.760, abs=5.5e-4)
    chronic = facts.value("ammonia.chronic_scale") * two_sided(
        "ammonia.chronic", facts.value("ammonia.chronic_ph_knee")
    )
    assert chronic * facts.value("ammonia.chronic_at_20c") == pytest.approx(1.8870, abs=5.5e-5)


def test_oxygen_as_printed():  # ISO 5814: 14.6 mg/L at 0 degC, 9.09 at 20; 11.288 and 7.559 from the equation
    def saturation(temp_c):
        return math.exp(sum(c / (temp_c + 273.15) ** i for i, c in enumerate(facts.series("oxygen.saturation"))))

    for temp_c, printed in [(0, 14.621), (10, 11.288), (20, 9.092), (30, 7.559), (40, 6.413)]:
        assert saturation(temp_c) == pytest.approx(printed, abs=5.5e-4)


@pytest.mark.parametrize(
    ("key", "at_25"), [("k1", -6.3519), ("k2", -10.3289), ("henry", -1.4679), ("calcite", -8.480), ("water", -13.9995)]
)
def test_equilibria_at_25_degrees(key, at_25):  # Plummer & Busenberg 1982; Nordstrom 1990, as tabled with PHREEQC
    k = 298.15
    a, b, c, d, e = facts.series(f"carbonate.{key}")
    assert a + b * k + c / k + d * math.log10(k) + e / k**2 == pytest.approx(at_25, abs=5.5e-4)


def test_atoms_agree_with_the_units_and_the_stoichiometry():
    def atom(name):
        return facts.value(f"atoms.{name}")

    assert atom("n") / (atom("n") + 2 * atom("o")) == pytest.approx(units.convert_basis(1.0, "NO2", "N"), rel=1e-6)
    oxygen = 2 * atom("o") / atom("n")
    assert facts.value("oxygen.per_ammonia_n") == pytest.approx(1.5 * oxygen, abs=5.5e-4)
    assert facts.value("oxygen.per_nitrite_n") == pytest.approx(0.5 * oxygen, abs=5.5e-4)
    calcite = atom("ca") + atom("c") + 3 * atom("o")
    assert facts.value("nitrifier.alkalinity_per_n") == pytest.approx(calcite / atom("n"), abs=5.5e-4)
    assert facts.value("dosing.ammonia_per_chloramine") == pytest.approx(atom("n") / (2 * atom("cl")), abs=5.5e-5)


def test_theta_follows_from_the_activation_energies():  # Vannecke & Volcke 2015; R = 8.314 J/mol/K at 20 degC
    for key, theta in [("ammonia", "theta_a"), ("nitrite", "theta_n")]:
        energy = 1000.0 * facts.value(f"nitrifier.energy_{key}_step")
        assert math.exp(energy / 8.314462 / 293.15**2) == pytest.approx(facts.priors()[theta].median, abs=1.1e-3)


def test_text_is_plain_and_names_no_product():
    folder = files("rillbed.facts")
    for file in [*folder.joinpath("constants").iterdir(), folder.joinpath("water_limits.toml")]:
        text = file.read_text("utf-8")
        assert not set("®™©") & set(text)
        assert "http" not in text
