import pint
import pytest

from rillbed.units import UnitError, convert, convert_basis

PINT = {
    "m3": "m**3", "L": "liter", "mL": "milliliter", "gal_us": "US_liquid_gallon", "gal_imp": "imperial_gallon",
    "g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound", "m2": "m**2", "cm2": "cm**2", "ft2": "foot**2",
    "in": "inch", "ft": "foot", "mm": "millimeter", "h": "hour", "min": "minute", "day": "day",
    "degC": "degC", "degF": "degF", "K": "kelvin", "mg/L": "mg/liter", "g/m3": "g/m**3", "ug/L": "microgram/liter",
}  # fmt: skip
PAIRS = [
    ("gal_us", "L"), ("gal_imp", "m3"), ("mL", "gal_us"), ("oz", "g"), ("lb", "kg"), ("m2", "ft2"), ("ft2", "cm2"),
    ("in", "mm"), ("ft", "in"), ("h", "day"), ("min", "h"), ("degF", "degC"), ("degC", "degF"), ("K", "degF"),
    ("ug/L", "g/m3"), ("mg/L", "g/m3"),
]  # fmt: skip


@pytest.mark.parametrize(("unit", "to"), PAIRS)
def test_agrees_with_pint(unit, to):
    ureg = pint.UnitRegistry()
    expected = ureg.Quantity(7.3, PINT[unit]).to(PINT[to]).magnitude
    assert convert(7.3, unit, to) == pytest.approx(expected, rel=1e-12)


def test_alkalinity_scales_meet():
    # One German degree is 10 mg/L CaO by definition: 17.848 mg/L CaCO3, 0.35665 meq/L from molar masses.
    assert convert(1, "dKH", "ppm_CaCO3") == pytest.approx(17.848, abs=0.001)
    assert convert(1, "dKH", "meq/L") == pytest.approx(0.35665, abs=1e-5)


@pytest.mark.parametrize(
    ("basis", "element", "formula", "count"),
    [("NH3", "N", {"N": 1, "H": 3}, 1), ("NH4", "N", {"N": 1, "H": 4}, 1), ("NO2", "N", {"N": 1, "O": 2}, 1),
     ("NO3", "N", {"N": 1, "O": 3}, 1), ("PO4", "P", {"P": 1, "O": 4}, 1), ("P2O5", "P", {"P": 2, "O": 5}, 2),
     ("K2O", "K", {"K": 2, "O": 1}, 2), ("CaO", "Ca", {"Ca": 1, "O": 1}, 1), ("MgO", "Mg", {"Mg": 1, "O": 1}, 1),
     ("SO4", "S", {"S": 1, "O": 4}, 1)],
)  # fmt: skip
def test_shares_follow_from_atomic_masses(basis, element, formula, count):
    # IUPAC abridged standard atomic weights.
    mass = {"H": 1.008, "N": 14.007, "O": 15.999, "P": 30.974, "K": 39.098, "Ca": 40.078, "Mg": 24.305, "S": 32.06}
    share = count * mass[element] / sum(mass[symbol] * n for symbol, n in formula.items())
    assert convert_basis(1, basis, element) == pytest.approx(share, rel=2e-5)


@pytest.mark.parametrize(
    ("unit", "to", "field"), [("gal", "L", "unit: 'gal'"), ("L", "x", "to: 'x'"), ("L", "g", "to")]
)
def test_refuses_by_name(unit, to, field):
    with pytest.raises(UnitError, match=f"^{field}.*allowed"):
        convert(1, unit, to)


def test_refuses_another_element():
    with pytest.raises(UnitError, match=r"^to: 'K2O' is counted as K"):
        convert_basis(1, "NO3", "K2O")
