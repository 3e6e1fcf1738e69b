"""What the plans look up in a log: latest readings as intervals, doses, feed given today."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed.garden.chains import effective
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, Feeding
from rillbed.garden.readings import Reading, Temperature
from rillbed.garden.system import System
from rillbed.plan.rules import Interval


def until(system: System, entries: Sequence[LogEntry], on: date) -> list[LogEntry]:
    """Effective entries up to the end of a day, in order."""
    return [entry for entry in effective(entries) if system.day_of(entry.at) <= on]


def before_start(system: System, entries: Sequence[LogEntry]) -> list[LogEntry]:
    """Entries of the loop's life that lie before its start; notes, set-ups and source water may."""

    def lives(entry: LogEntry) -> bool:
        return entry.kind not in ("note", "set_up") and not getattr(entry.payload, "source_water", False)

    return [entry for entry in effective(entries) if system.day_of(entry.at) < system.started_on and lives(entry)]


def latest(system: System, log: Sequence[LogEntry], quantity: str) -> Interval | None:
    """Last reading of a quantity in the loop, canonical units; ``None`` if never read."""
    for entry in reversed(log):
        payload = entry.payload
        if isinstance(payload, Reading) and payload.quantity == quantity and not payload.source_water:
            low, high = payload.interval
            return Interval(low, high, system.day_of(entry.at))
        if quantity == "temperature" and isinstance(payload, Temperature) and payload.where == "water":
            return Interval(payload.temp_c, payload.temp_c, system.day_of(entry.at))
    return None


def readings(system: System, log: Sequence[LogEntry], quantity: str) -> list[Interval]:
    """All readings of a quantity in the loop, oldest first."""
    out = []
    for entry in log:
        payload = entry.payload
        if isinstance(payload, Reading) and payload.quantity == quantity and not payload.source_water:
            low, high = payload.interval
            out.append(Interval(low, high, system.day_of(entry.at)))
    return out


def doses(system: System, log: Sequence[LogEntry]) -> list[tuple[date, Dosed]]:
    """Everything dosed, oldest first."""
    return [(system.day_of(entry.at), entry.payload) for entry in log if isinstance(entry.payload, Dosed)]


def feedings(system: System, log: Sequence[LogEntry]) -> list[tuple[date, Feeding]]:
    """Everything fed, oldest first."""
    return [(system.day_of(entry.at), entry.payload) for entry in log if isinstance(entry.payload, Feeding)]


def unread_dose(system: System, log: Sequence[LogEntry], substances: frozenset[str]) -> date | None:
    """Day of the last dose of these substances if no reading of ammonia in the loop came after it."""
    for entry in reversed(log):
        payload = entry.payload
        if isinstance(payload, Reading) and payload.quantity == "tan" and not payload.source_water:
            return None
        if isinstance(payload, Dosed) and payload.substance in substances:
            return system.day_of(entry.at)
    return None


def fed_g(system: System, log: Sequence[LogEntry], on: date) -> dict[str | None, float]:
    """Feed given on a day by group name (``None``: to all), g."""
    out: dict[str | None, float] = {}
    for entry in log:
        if isinstance(entry.payload, Feeding) and system.day_of(entry.at) == on:
            out[entry.payload.group] = out.get(entry.payload.group, 0.0) + entry.payload.grams
    return out
