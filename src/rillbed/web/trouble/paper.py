"""The sheet for somebody who knows, with its series drawn."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.trouble.sheet import Point, Sheet
from rillbed.tongue import later, tr
from rillbed.words.happened import happened

SHOWN = 8
UNITS = {"degC": "°C"}
TO = "\N{WORD JOINER}\N{EN DASH}\N{WORD JOINER}"

NAMES = {
    "water": later("Water"), "fish": later("Fish"), "age": later("Running for"), "source": later("Fresh water from"),
    "feed": later("Feed"), "temperature": later("Temperature"), "beds": later("Beds"), "trouble": later("What is seen"),
}  # fmt: skip


@dataclass(frozen=True)
class Paper:
    """What is printed: facts, series as rows of readings, and events."""

    name: str
    on: str
    facts: tuple[tuple[str, str], ...]
    series: tuple[tuple[str, SafeString, tuple[tuple[str, str], ...]], ...]
    events: tuple[tuple[str, str], ...]


def paper(found: Sheet) -> Paper:
    """Put a sheet into words."""
    series = tuple(
        (_title(name), _picture(name, points), tuple((words.day(point.on), _shown(point)) for point in points[-SHOWN:]))
        for name, points in found.series.items()
    )
    events = tuple((words.day(on), happened(entry)) for on, entry in found.events)
    facts = tuple((tr(NAMES[name]), value) for name, value in found.intake)
    return Paper(found.name, words.day(found.on), facts, series, events)


def _title(name: str) -> str:
    return words.capital(tr(NAMES[name]) if name in NAMES else words.quantity(name))


def _shown(point: Point) -> str:
    """Write a reading as on every page; the sheet of the command line keeps to plain signs."""
    return re.sub(r"(?<=\d)-(?=\d)", TO, point.shown.replace(">=", "≥ ").replace("<", "< "))


def _picture(name: str, points: Sequence[Point]) -> SafeString:
    """Draw readings as bars as tall as the kit is coarse."""
    quantity = QUANTITIES[name]
    unit = tr(UNITS.get(quantity.unit, quantity.unit))
    if quantity.ion and quantity.element == "N":
        unit = f"{unit} {tr('as N')}"
    chart = draw.Chart(
        unit=f"{_title(name)}, {unit}" if unit else _title(name),
        summary=f"{_title(name)}: " + "; ".join(f"{words.day(point.on)} {_shown(point)}" for point in points[-SHOWN:]),
        readings=tuple(draw.IntervalReading(point.on, point.low, point.high) for point in points),
        lowest=None if name in ("ph", "temperature") else 0.0,
        least_span=1.0,
    )
    return mark_safe(draw.line_chart(chart, half=True))
