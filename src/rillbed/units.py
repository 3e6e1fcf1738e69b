"""Conversion between the units people measure in and the ones the model counts in."""

from __future__ import annotations

N_PER_NH3 = 14.007 / 17.031
N_PER_NH4 = 14.007 / 18.039
N_PER_NO2 = 14.007 / 46.005
N_PER_NO3 = 14.007 / 62.004
P_PER_PO4 = 30.974 / 94.970
P_PER_P2O5 = 2 * 30.974 / 141.943
K_PER_K2O = 2 * 39.098 / 94.195
CA_PER_CAO = 40.078 / 56.077
MG_PER_MGO = 24.305 / 40.304
S_PER_SO4 = 32.06 / 96.056
S_PER_SO3 = 32.06 / 80.057

# A unit is a dimension and the factor that takes one of it to the base unit of that dimension.
# The two gallons are named apart on purpose: there is no plain "gal".
_UNITS: dict[str, tuple[str, float]] = {
    "m3": ("volume", 1.0),
    "L": ("volume", 1e-3),
    "mL": ("volume", 1e-6),
    "gal_us": ("volume", 3.785411784e-3),
    "gal_imp": ("volume", 4.54609e-3),
    "g": ("mass", 1.0),
    "kg": ("mass", 1e3),
    "mg": ("mass", 1e-3),
    "oz": ("mass", 28.349523125),
    "lb": ("mass", 453.59237),
    "m2": ("area", 1.0),
    "cm2": ("area", 1e-4),
    "ft2": ("area", 0.09290304),
    "m": ("length", 1.0),
    "cm": ("length", 1e-2),
    "mm": ("length", 1e-3),
    "in": ("length", 0.0254),
    "ft": ("length", 0.3048),
    "day": ("time", 1.0),
    "h": ("time", 1 / 24),
    "min": ("time", 1 / 1440),
    "degC": ("temperature", 1.0),
    "degF": ("temperature", 5 / 9),
    "K": ("temperature", 1.0),
    "mg/L": ("concentration", 1.0),
    "g/m3": ("concentration", 1.0),
    "ug/L": ("concentration", 1e-3),
    "meq/L": ("alkalinity", 1.0),
    "eq/m3": ("alkalinity", 1.0),
    "dKH": ("alkalinity", 10 / 28.0385),  # one degree is 10 mg/L CaO, an equivalent of which is 28.0385 g
    "ppm_CaCO3": ("alkalinity", 2 / 100.087),
}
_ZERO_C = {"degC": 0.0, "degF": -160 / 9, "K": -273.15}  # the reading 0 of each scale, in degC

_ELEMENT_SHARE: dict[str, tuple[str, float]] = {
    "N": ("N", 1.0),
    "NH3": ("N", N_PER_NH3),
    "NH4": ("N", N_PER_NH4),
    "NO2": ("N", N_PER_NO2),
    "NO3": ("N", N_PER_NO3),
    "P": ("P", 1.0),
    "PO4": ("P", P_PER_PO4),
    "P2O5": ("P", P_PER_P2O5),
    "K": ("K", 1.0),
    "K2O": ("K", K_PER_K2O),
    "Ca": ("Ca", 1.0),
    "CaO": ("Ca", CA_PER_CAO),
    "Mg": ("Mg", 1.0),
    "MgO": ("Mg", MG_PER_MGO),
    "S": ("S", 1.0),
    "SO4": ("S", S_PER_SO4),
    "SO3": ("S", S_PER_SO3),
}


class UnitError(ValueError):
    """A unit or basis that is unknown, or two that do not measure the same thing."""


def is_unit(unit: str) -> bool:
    """Tell whether a unit is known to `convert`."""
    return unit in _UNITS


def convert(value: float, unit: str, to: str) -> float:
    """Convert a value between two units of one dimension.

    Parameters
    ----------
    value
        The number read, in `unit`.
    unit, to
        Known units: volume, mass, area, length, time, temperature, concentration, alkalinity.

    Raises
    ------
    UnitError
        When a unit is unknown or the two measure different things.

    Examples
    --------
    >>> round(convert(1, "m2", "ft2"), 2)
    10.76
    """
    for field, name in (("unit", unit), ("to", to)):
        if name not in _UNITS:
            raise UnitError(f"{field}: {name!r} is not known; allowed: {', '.join(_UNITS)}")
    (dimension, factor), (target, divisor) = _UNITS[unit], _UNITS[to]
    if dimension != target:
        allowed = ", ".join(name for name, (kind, _) in _UNITS.items() if kind == dimension)
        raise UnitError(f"to: {to!r} is a {target}, {unit!r} a {dimension}; allowed: {allowed}")
    if dimension == "temperature":
        return (value * factor + _ZERO_C[unit] - _ZERO_C[to]) / divisor
    return value * factor / divisor


def convert_basis(value: float, basis: str, to: str) -> float:
    """Convert a mass or concentration between an element and an ion or oxide of it.

    Parameters
    ----------
    value
        Amount as `basis`, in any unit of mass or concentration.
    basis, to
        A formula such as N, NH4, NO2, NO3, P, PO4, K, K2O; both of one element.

    Raises
    ------
    UnitError
        When a formula is unknown or the two are not of one element.

    Examples
    --------
    >>> round(convert_basis(100, "NO3", "N"), 1)
    22.6
    """
    for field, name in (("basis", basis), ("to", to)):
        if name not in _ELEMENT_SHARE:
            raise UnitError(f"{field}: {name!r} is not known; allowed: {', '.join(_ELEMENT_SHARE)}")
    (element, share), (target, divisor) = _ELEMENT_SHARE[basis], _ELEMENT_SHARE[to]
    if element != target:
        allowed = ", ".join(name for name, (kind, _) in _ELEMENT_SHARE.items() if kind == element)
        raise UnitError(f"to: {to!r} is counted as {target}, {basis!r} as {element}; allowed: {allowed}")
    return value * share / divisor
