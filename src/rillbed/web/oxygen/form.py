"""What may be typed: the water now, and the air of the days ahead."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rillbed.garden.errors import GardenError
from rillbed.tongue import current, later, tr
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import kept, number
from rillbed.words.numbers import say

MOST_DAYS = 14
FIGURE = r"([-\u2212]?\d[\d.,]*)"
DAY = re.compile(rf"{FIGURE}(?:\s*(?:-|–|:|to|bis|\s)\s*{FIGURE})?")
EMPTY = later("Empty: as read today, else as forecast.")
FIELDS = (
    Field("temp", later("Water now"), "number", measure="temperature", help=EMPTY),
    Field("oxygen", later("Oxygen now"), "number", unit="mg/L", help=EMPTY),
    Field(
        "ahead",
        later("Air of the days ahead, °C"),
        "words",
        help=later("One day a line or by commas: 31, or lowest and highest, 22-34."),
    ),
)


def temp_of(typed: Mapping[str, str]) -> float | None:
    """Water temperature as typed, degC."""
    return _within("temp", kept("temp", "temperature", typed), 40, "°C")


def oxygen_of(typed: Mapping[str, str]) -> float | None:
    """Oxygen as typed, mg/L."""
    text = typed.get("oxygen", "").strip()
    return _within("oxygen", number("oxygen", text), 30, "mg/L") if text else None


def _within(name: str, value: float | None, most: int, unit: str) -> float | None:
    if value is not None and not 0.0 <= value <= most:
        raise GardenError(name, value, say("must be from 0 to {most} {unit}", most=most, unit=unit))
    return value


def ahead_of(typed: Mapping[str, str]) -> tuple[float | tuple[float, float], ...]:
    """Read the days ahead: a mean each, or lowest and highest.

    Commas part days, unless the reader writes them for decimals and no blank follows.

    Raises
    ------
    GardenError
        For a day that is neither, or too many of them.

    Examples
    --------
    >>> ahead_of({"ahead": "31, 22-34"})
    (31.0, (22.0, 34.0))
    """
    out: list[float | tuple[float, float]] = []
    for item in filter(None, (part.strip() for part in re.split(r"[\n;]+|,(?!\d)", typed.get("ahead", "")))):
        if "," in item and current().decimal != ",":
            allowed = tr("may mean two days or one figure; write a blank after a comma, or a point")
            raise GardenError("ahead", item, allowed)
        found = DAY.fullmatch(item.replace("°C", "").strip())
        if found is None:
            raise GardenError("ahead", item, tr("write a mean such as 31, or lowest and highest such as 22-34"))
        ends = [number("ahead", end) for end in found.groups() if end is not None]
        if not all(-40.0 <= end <= 55.0 for end in ends):
            raise GardenError("ahead", item, tr("must be from -40 to 55 °C"))
        out.append(ends[0] if len(ends) == 1 else (min(ends), max(ends)))
    if len(out) > MOST_DAYS:
        raise GardenError("ahead", len(out), say("at most {most} days", most=MOST_DAYS))
    return tuple(out)
