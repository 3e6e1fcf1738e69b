"""What a picture is made of: plain frozen records with every word passed in as a string.

Nothing here knows the garden or the web. Dates are ``datetime.date``; values are in the unit that ``Chart.unit`` names.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from rillbed.tongue import later

Stream = Literal["water", "fish", "plant", "life", "gas"]
Numbers = Sequence[float]


@dataclass(frozen=True)
class Series:
    """A median with its bands; every sequence is as long as ``days``. NaN makes a gap.

    Parameters
    ----------
    days : sequence of date, ascending
    median : sequence of float
    low80, high80, low50, high50 : sequence of float, optional
        Edges of the 8-in-10 and of the 5-in-10 band.
    stream : {"water", "fish", "plant", "life", "gas"}
        What the line is, which chooses its colour.
    label : str
        Written at the end of the line.
    other : bool
        True draws the median in round dots: the other future.
    """

    days: Sequence[date]
    median: Numbers
    low80: Numbers = ()
    high80: Numbers = ()
    low50: Numbers = ()
    high50: Numbers = ()
    stream: Stream = "water"
    label: str = ""
    other: bool = False

    def __post_init__(self) -> None:
        for name in ("median", "low80", "high80", "low50", "high50"):
            size = len(getattr(self, name))
            if size != len(self.days) and (size or name == "median"):
                raise ValueError(f"{name}: {size} values; as many as days are allowed, {len(self.days)}")
        if any(b <= a for a, b in zip(self.days, self.days[1:], strict=False)):
            raise ValueError("days: not ascending; each day must come after the one before")


@dataclass(frozen=True)
class IntervalReading:
    """A reading as tall as its kit is coarse; None is an open end (the kit tops out, or starts higher)."""

    day: date
    low: float | None
    high: float | None
    odd: bool = False
    label: str = ""


@dataclass(frozen=True)
class Event:
    """A letter in a circle above a dotted stem; the page lists the letters under the chart."""

    day: date
    letter: str


@dataclass(frozen=True)
class Limit:
    """A bank at ``value``; the ticks stand on the ``forbidden`` side. Heavy if it ``binds``."""

    value: float
    label: str
    forbidden: Literal["above", "below"] = "above"
    binds: bool = False


@dataclass(frozen=True)
class Chart:
    """One panel: series, readings, limits and events over dates.

    ``unit`` is written once, top left ("Nitrite, mg/L as N"); ``summary`` becomes the accessible name. ``table`` is the
    id of the page's table whose rows carry ``data-x`` (days since ``first_day``) for the read-out; empty for none.
    ``today`` None leaves the flag out. ``lowest`` is the least value the axis must show; None lets the data decide.
    ``least_span`` keeps a small change small: the axis covers at least as much, in its unit. ``day_label`` counts days
    from the first ("day 30") in place of dates.
    """

    unit: str
    summary: str
    series: tuple[Series, ...] = ()
    readings: tuple[IntervalReading, ...] = ()
    limits: tuple[Limit, ...] = ()
    events: tuple[Event, ...] = ()
    today: date | None = None
    today_label: str = later("today")
    table: str = ""
    lowest: float | None = 0.0
    least_span: float = 0.0
    nothing: str = later("Nothing to draw yet")
    day_label: str = ""

    def days(self) -> list[date]:
        """Every day the chart mentions, ascending, without repeats."""
        found = {d for s in self.series for d in s.days} | {r.day for r in self.readings} | {e.day for e in self.events}
        return sorted(found | ({self.today} if self.today else set()))

    @property
    def first_day(self) -> date | None:
        """Day 0 of ``data-x``; None for an empty chart."""
        days = self.days()
        return days[0] if days else None


@dataclass(frozen=True)
class Flow:
    """A stream that leaves the water or the feed: width is g N a day, >= 0."""

    label: str
    g_n_day: float
    stream: Stream
    value: str


@dataclass(frozen=True)
class NitrogenFlow:
    """Feed splits before the water (growth, solids) and after it (plants, air, what stays)."""

    summary: str
    source: Flow
    before: tuple[Flow, ...]
    water: Flow
    after: tuple[Flow, ...]


@dataclass(frozen=True)
class Dots:
    """Completion as twenty dates, one for each chance in 20; None = not within the horizon."""

    summary: str
    title: str
    days: tuple[date | None, ...]
    today: date | None = None
    today_label: str = later("today")
    beyond: str = later("later")


@dataclass(frozen=True)
class View:
    """One rival view: an I-bar from ``low`` to ``high``; ``value`` is its text. NaN low means not known."""

    label: str
    low: float
    high: float
    value: str
    binds: bool = False


@dataclass(frozen=True)
class Room:
    """Rival views on one axis in ``unit``; ``mark`` draws a bank (for example, what is planted)."""

    summary: str
    unit: str
    views: tuple[View, ...]
    mark: float | None = None
    mark_label: str = ""
    top: float | None = None


@dataclass(frozen=True)
class TableRow:
    """``x`` is the value of ``data-x`` (days since the chart's first day); ``cells`` are finished strings."""

    x: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Headers and rows of text; the web gives them tags."""

    headers: tuple[str, ...]
    rows: tuple[TableRow, ...] = field(default=())


@dataclass(frozen=True)
class Span:
    """One row of a calendar: an I-bar from ``first`` to ``last``, a hollow square where they are one day."""

    label: str
    first: date
    last: date
    value: str = ""


@dataclass(frozen=True)
class Weeks:
    """Jobs on an axis of dates that begins with ``today``; what lies before it or after ``days`` is cut there."""

    summary: str
    today: date
    days: int
    spans: tuple[Span, ...]
    today_label: str = later("today")


@dataclass(frozen=True)
class Patch:
    """What stands on a part of a bed: its area, and the letter that names it in the list beside the picture."""

    mark: str
    area: float


@dataclass(frozen=True)
class Plot:
    """One bed: name, area, what of it is taken in words, and what stands on it."""

    label: str
    area: float
    value: str
    patches: tuple[Patch, ...] = ()


@dataclass(frozen=True)
class Ground:
    """Beds from above; areas in one unit."""

    summary: str
    beds: tuple[Plot, ...]
