"""What can be read in the water: canonical units, the units people type, and what is possible at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rillbed import units
from rillbed.garden.errors import GardenError
from rillbed.tongue import tr

Basis = Literal["n", "ion"]
QuantityId = Literal[
    "tan", "no2", "no3", "ph", "alkalinity", "gh", "k", "fe", "p", "ca", "mg", "s", "na", "cl", "oxygen", "co2",
    "chlorine", "ec", "temperature",
]  # fmt: skip


@dataclass(frozen=True)
class Quantity:
    """One readable quantity; `low` and `high` bound what can be typed, in the canonical `unit`."""

    name: str
    unit: str
    low: float
    high: float
    ion: str | None = None  # what kits count that do not count the element
    element: str = "N"


# The bounds only catch slips of the finger and wrong units; they are no judgement on the water.
QUANTITIES: dict[str, Quantity] = {
    "tan": Quantity("ammonia", "mg/L", 0, 1000, "NH4"),
    "no2": Quantity("nitrite", "mg/L", 0, 1000, "NO2"),
    "no3": Quantity("nitrate", "mg/L", 0, 5000, "NO3"),
    "ph": Quantity("pH", "", 2, 12),
    "alkalinity": Quantity("alkalinity", "meq/L", 0, 100),
    "gh": Quantity("hardness", "meq/L", 0, 200),
    "k": Quantity("potassium", "mg/L", 0, 5000),
    "fe": Quantity("iron", "mg/L", 0, 200),
    "p": Quantity("phosphorus", "mg/L", 0, 1000, "PO4", "P"),
    "ca": Quantity("calcium", "mg/L", 0, 5000),
    "mg": Quantity("magnesium", "mg/L", 0, 5000),
    "s": Quantity("sulfur", "mg/L", 0, 5000),
    "na": Quantity("sodium", "mg/L", 0, 20000),
    "cl": Quantity("chloride", "mg/L", 0, 40000),
    "oxygen": Quantity("oxygen", "mg/L", 0, 40),
    "co2": Quantity("carbon dioxide", "mg/L", 0, 1000),
    "chlorine": Quantity("chlorine", "mg/L", 0, 50),
    "ec": Quantity("conductivity", "mS/cm", 0, 100),
    "temperature": Quantity("temperature", "degC", -2, 50),
}


def check_unit(field: str, quantity: str, unit: str) -> None:
    """Refuse a unit that does not measure the quantity.

    Raises
    ------
    GardenError
        Naming the canonical unit.
    """
    canonical(quantity, 1.0, unit, None, field=field)


def canonical(quantity: str, value: float, unit: str, basis: Basis | None, *, field: str = "unit") -> float:
    """Return a typed value in the canonical unit of its quantity.

    An unknown `basis` counts as the element, the reading that finds more of it in the water.

    Raises
    ------
    GardenError
        If the unit does not measure the quantity.
    """
    kind = QUANTITIES[quantity]
    if quantity == "ph":
        if unit not in ("", "pH"):
            raise GardenError(field, unit, tr("pH has no unit; leave it empty"))
        return value
    try:
        converted = value if unit == kind.unit else units.convert(value, unit, kind.unit)
    except units.UnitError:
        allowed = tr("{quantity} is measured in {unit} or a unit that converts to it")
        raise GardenError(field, unit, allowed.format(quantity=tr(kind.name), unit=kind.unit)) from None
    if basis == "ion" and kind.ion is not None:
        return units.convert_basis(converted, kind.ion, kind.element)
    return converted
