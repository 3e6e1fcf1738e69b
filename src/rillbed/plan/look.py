"""What the plans look up in a log: latest readings as intervals, doses, feed given today."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from datetime import UTC, date, timedelta

from rillbed.garden.chains import Told, effective
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, Feeding
from rillbed.garden.readings import Reading, Temperature
from rillbed.garden.system import System
from rillbed.plan.rules import Interval


def until(system: System, entries: Sequence[LogEntry], on: date) -> Told:
    """Effective entries up to the end of a day, in order."""
    if isinstance(entries, Told):
        if entries.counts and (not entries or system.day_of(entries[-1].at) <= on):
            return entries
        return entries.once("until", (on, system), lambda: _until(system, entries.standing, on))
    return _until(system, effective(entries), on)


def _until(system: System, standing: Sequence[LogEntry], on: date) -> Told:
    # No place is more than a day away from Greenwich, so that few entries of a long log need be asked for their day.
    sure = bisect_left(standing, on, key=_greenwich)
    over = bisect_left(standing, on + timedelta(days=2), lo=sure, key=_greenwich)
    return Told.settled((*standing[:sure], *(e for e in standing[sure:over] if system.day_of(e.at) <= on)))


def _greenwich(entry: LogEntry) -> date:
    return entry.at.astimezone(UTC).date()


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
