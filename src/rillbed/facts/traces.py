"""Elements that are only counted, never followed in the water: manganese, boron, zinc, copper, molybdenum."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rillbed.facts.load import Row, read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceElement(Row):
    """One trace element.

    Attributes
    ----------
    leaf_low_mg_kg, leaf_high_mg_kg : float or None
        Content of the dry matter of well-fed leaves; None where it is not known.
    water_low_mg_l, water_high_mg_l : float or None
        Working range in the water; None where there is no lower end to aim for.
    most_rise_mg_l : float or None
        Most that anything may add at once, for the sake of fish.
    dosed : bool
        Whether a salt of it may go into a loop at all.
    """

    name: str
    leaf_low_mg_kg: float | None = None
    leaf_high_mg_kg: float | None = None
    water_low_mg_l: float | None = None
    water_high_mg_l: float | None = None
    most_rise_mg_l: float | None = None
    dosed: bool = False


@cache
def trace_elements() -> dict[str, TraceElement]:
    """Return every trace element by lower-case symbol."""
    return read_rows("trace_elements.toml", TraceElement)
