"""The sheet to show somebody who knows: what one is always asked first, the readings as series, and what happened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Observation
from rillbed.plan.trouble.short import Case
from rillbed.plan.trouble.signs import Scene, scene
from rillbed.plan.verdict.evidence import Evidence
from rillbed.tongue import current, many, tr

# The eight facts, in the order they are asked.
INTAKE = ("water", "fish", "age", "source", "feed", "temperature", "beds", "trouble")
# Readings are the series, meals the ration.
TOLD_ELSEWHERE = ("reading", "temperature", "feeding")
SERIES = ("tan", "no2", "no3", "ph", "alkalinity", "oxygen", "temperature")


@dataclass(frozen=True)
class Point:
    """One reading of a series: its day, its ends in canonical units, and how it is written."""

    on: date
    low: float | None
    high: float | None
    shown: str


@dataclass(frozen=True)
class Sheet:
    """One page.

    Attributes
    ----------
    intake : tuple of (name, value)
        The facts of `INTAKE`; ``not known`` where nobody said.
    series : mapping of quantity to points
        Readings of the last sixty days, oldest first.
    events : tuple of (day, entry)
        What happened in the last fourteen days, newest first.
    """

    on: date
    name: str
    intake: tuple[tuple[str, str], ...]
    series: Mapping[str, tuple[Point, ...]] = field(default_factory=dict)
    events: tuple[tuple[date, LogEntry], ...] = ()


def sheet(case: Case) -> Sheet:
    """Lay the sheet out from a case."""
    now = scene(case.system, case.entries, case.on)
    series = {
        quantity: tuple(_point(item) for item in now.history[quantity] if item.age_days <= 60)
        for quantity in SERIES
        if quantity in now.history
    }
    window = facts.value("trouble.window_days")
    events = tuple(
        (case.system.day_of(entry.at), entry)
        for entry in reversed(now.log)
        if entry.kind not in TOLD_ELSEWHERE and (case.on - case.system.day_of(entry.at)).days <= window
    )
    return Sheet(case.on, case.system.name, _intake(now, case), series, events)


def _point(item: Evidence) -> Point:
    if item.low is None:
        shown = f"<{_figure(item.high)}"
    elif item.high is None:
        shown = f">={_figure(item.low)}"
    else:
        shown = _figure(item.low) if item.low == item.high else f"{_figure(item.low)}-{_figure(item.high)}"
    return Point(item.on, item.low, item.high, shown)


def _figure(value: float | None) -> str:
    return "" if value is None else current().number(f"{value:.3g}")


def _plain(value: float) -> str:
    return current().number(f"{value:g}")


def _intake(now: Scene, case: Case) -> tuple[tuple[str, str], ...]:
    groups = [group for group in now.state.groups.values() if group.count > 0]
    each = tr("{count} {fish}, {weight} g each")
    names = {name: tr(row.common_name) for name, row in facts.species().items()}
    fish = "; ".join(each.format(count=g.count, fish=names[g.species], weight=_plain(g.weight_g)) for g in groups)
    kinds = ", ".join(names[name] for name in now.who.species)
    tanks = "; ".join(f"{tank.name} {_plain(tank.volume_l)} L" for tank in now.system.tanks)
    beds = "; ".join(f"{bed.name}: {tr(bed.kind)}, {_plain(bed.area_m2)} m²" for bed in now.system.beds)
    last = now.last("temperature")
    days = (now.on - now.system.started_on).days
    age = None if "age_days" in case.assumed else many("{n} day", "{n} days", days).format(n=days)
    feed = now.numbers.get("feed_g_day")
    seen = [entry.payload for entry in now.log if isinstance(entry.payload, Observation)]
    source = next((tr(item.text) for item in reversed(seen) if item.what == "source"), "")
    trouble = ", ".join(
        f"{tr(item.what)} {tr(item.text)}" for item in seen if item.what in ("dying", "gasping", "eating")
    )
    told = {
        "water": tanks, "fish": fish or kinds, "age": age, "source": source, "beds": beds, "trouble": trouble,
        "feed": None if feed is None else tr("{amount} g a day").format(amount=_figure(feed)),
        "temperature": "" if last is None else f"{_point(last).shown} °C",
    }  # fmt: skip
    return tuple((name, told[name] or tr("not known")) for name in INTAKE)
