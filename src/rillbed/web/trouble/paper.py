"""The sheet for somebody who knows, with its series drawn."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.plan.trouble.sheet import Sheet

NAMES = {
    "water": "Water", "fish": "Fish", "age": "Running for", "source": "Fresh water from", "feed": "Feed",
    "temperature": "Temperature", "beds": "Beds", "trouble": "What is seen",
}  # fmt: skip


@dataclass(frozen=True)
class Paper:
    """What is printed: facts, series as rows of readings, and events."""

    name: str
    on: str
    facts: tuple[tuple[str, str], ...]
    series: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    events: tuple[tuple[str, str], ...]


def paper(found: Sheet) -> Paper:
    """Put a sheet into words."""
    series = tuple(
        (words.quantity(name), tuple((words.day(point.on), point.shown) for point in points[-8:]))
        for name, points in found.series.items()
    )
    events = tuple((words.day(on), text) for on, text in found.events)
    facts = tuple((NAMES[name], value) for name, value in found.intake)
    return Paper(found.name, words.day(found.on), facts, series, events)
