"""The state of the loop as a pure fold over what happened: nothing about it is stored twice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from rillbed.garden.book import Book
from rillbed.garden.chains import Told, by_uuid, digest, effective, merge
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import SetUp
from rillbed.garden.state import FishGroup, LoopState, Planting, TimedDose, TimedReading, Weighing
from rillbed.garden.system import System

__all__ = [
    "FishGroup",
    "LoopState",
    "Planting",
    "TimedDose",
    "TimedReading",
    "Told",
    "Weighing",
    "by_uuid",
    "check",
    "digest",
    "effective",
    "merge",
    "state_at",
    "system_at",
]


def system_at(system: System, entries: Iterable[LogEntry], on: date) -> System:
    """Return the loop as set up at the end of day `on`: the last set_up entry until then, otherwise `system`."""
    for entry in effective(entries):
        if isinstance(entry.payload, SetUp) and entry.payload.system.day_of(entry.at) <= on:
            system = entry.payload.system
    return system


def state_at(system: System, entries: Iterable[LogEntry], on: date) -> LoopState:
    """Return what the log says about the loop at the end of day `on`.

    Parameters
    ----------
    system : System
        The loop until the first set_up entry.
    entries : iterable of LogEntry
        Any order; corrections included.
    on : date
        Calendar day where the loop stands; later entries are left aside.

    Raises
    ------
    GardenError
        If the entries contradict each other: a picking before the planting, more dead fish than there were, ...
    """
    if isinstance(entries, Told):
        return entries.once("state", (on, system), lambda: _state_at(system, entries.standing, on))
    return _state_at(system, effective(entries), on)


def _state_at(system: System, standing: Iterable[LogEntry], on: date) -> LoopState:
    book = Book(system)
    for entry in standing:
        if book.system.day_of(entry.at) <= on:
            book.enter(entry)
    return book.close(on)


def check(system: System, entries: Iterable[LogEntry]) -> None:
    """Refuse a log that contradicts itself; call it before anything is stored.

    Raises
    ------
    GardenError
        With the uuid of the entry that does not fit what came before it.
    """
    standing = effective(entries)
    if standing:
        state_at(system, standing, standing[-1].at.date() + timedelta(days=2))
