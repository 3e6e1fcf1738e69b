"""Lines between the levels, and where a value stands among them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rillbed import facts
from rillbed.facts.table import GRADES
from rillbed.plan.verdict.bands import LEVELS, Level

Floats = NDArray[np.float64]
Ranks = NDArray[np.int64]
STEPS: tuple[Level, ...] = LEVELS[1:]


@dataclass(frozen=True)
class Line:
    """One limit and where it comes from; `whom` it is for, `key` of the figure."""

    value: float
    whom: str
    grade: str
    sources: tuple[str, ...]
    key: str

    def times(self, factor: float) -> Line:
        """Return the same limit scaled, e.g. for fry."""
        return Line(self.value * factor, self.whom, self.grade, self.sources, self.key)

    def plus(self, amount: float) -> Line:
        """Return the same limit moved, e.g. by a margin."""
        return Line(self.value + amount, self.whom, self.grade, self.sources, self.key)


def of_limit(row: str, end: str, whom: str | None = None) -> Line:
    """Line at the ``low`` or ``high`` end of a row of the table of water limits.

    Raises
    ------
    ValueError
        If that end of the row is open.
    """
    limit = facts.water_limits()[row]
    value = limit.low if end == "low" else limit.high
    if value is None:
        raise ValueError(f"{row}: has no {end} end")
    return Line(value, whom or limit.applies_to, limit.grade, limit.source, f"water_limits/{row}")


def of_figure(key: str, whom: str) -> Line:
    """Line at a single figure."""
    item = facts.fact(key)
    return Line(facts.value(key), whom, item.grade, item.source, key)


def of_species(species: str, field: str, factor: float = 1.0) -> Line:
    """Line at one figure of a species, in the unit of the table times ``factor``."""
    row = facts.species()[species]
    origin = row.origin_of(field)
    return Line(float(getattr(row, field)) * factor, species, origin.grade, origin.source, f"species/{species}")


def lowest(*lines: Line) -> Line:
    """Return the strictest upper limit; of equals the better founded."""
    return min(lines, key=lambda item: (item.value, GRADES.index(item.grade)))


def highest(*lines: Line) -> Line:
    """Return the strictest lower limit; of equals the better founded."""
    return max(lines, key=lambda item: (item.value, -GRADES.index(item.grade)))


@dataclass(frozen=True)
class Ladder:
    """For each level the line above and the line below which it begins; a missing line leaves that side open."""

    above: Mapping[Level, Line] = field(default_factory=dict)
    below: Mapping[Level, Line] = field(default_factory=dict)

    def rank(self, values: ArrayLike) -> Ranks:
        """Level of each value as its place in `LEVELS`."""
        x = np.asarray(values, dtype=np.float64)
        found = np.zeros(x.shape, dtype=np.int64)
        for place, level in enumerate(STEPS, start=1):
            if level in self.above:
                found = np.where(x > self.above[level].value, np.maximum(found, place), found)
            if level in self.below:
                found = np.where(x < self.below[level].value, np.maximum(found, place), found)
        return found

    def level(self, value: float) -> Level:
        """Level of one value."""
        return LEVELS[int(self.rank(value))]

    @property
    def limits(self) -> dict[Level, tuple[float | None, float | None]]:
        """Ends of the range outside which each level begins."""
        return {
            level: (
                self.below[level].value if level in self.below else None,
                self.above[level].value if level in self.above else None,
            )
            for level in STEPS
            if level in self.above or level in self.below
        }

    def decided(self, value: float) -> Line:
        """Return the line a value broke last; for a safe value the nearest line of the first level there is."""
        broken = [
            line
            for level in reversed(STEPS)
            for side, over in ((self.above, True), (self.below, False))
            if (line := side.get(level)) is not None and (value > line.value if over else value < line.value)
        ]
        if broken:
            return broken[0]
        lines = [side[level] for level in STEPS for side in (self.above, self.below) if level in side]
        return min(lines[:2], key=lambda line: abs(line.value - value) if np.isfinite(value) else 0.0)

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line, mildest first."""
        return tuple(side[level] for level in STEPS for side in (self.above, self.below) if level in side)
