"""What comes from outside as data: distrusted before it is an entry, and written whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import SetUp
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import clock

FIRST = datetime(1900, 1, 1, tzinfo=UTC)
AHEAD = timedelta(minutes=2)  # clocks differ
DEEPEST = 30
MOST_NUMBER = 1e15


def trusted(value: Any, field: str = "", depth: int = 0) -> Any:
    """Give plain data back if every text can be stored and every number counted with.

    Raises
    ------
    GardenError
        Naming the field.
    """
    if isinstance(value, str):
        if "\x00" in value or any("\ud800" <= mark <= "\udfff" for mark in value):
            raise GardenError(field or "text", ascii(value)[:60], tr("must be text without NUL or half characters"))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        if not abs(value) <= MOST_NUMBER:
            raise GardenError(
                field or "number", str(value)[:60], tr("must be a finite number below a million milliards")
            )
    elif depth >= DEEPEST:
        raise GardenError(field or "data", "nested", tr("must be nested at most {n} deep").format(n=DEEPEST))
    elif isinstance(value, Mapping):
        for key, item in value.items():
            trusted(str(key), field, depth + 1)
            trusted(item, f"{field}.{key}" if field else str(key), depth + 1)
    elif isinstance(value, Sequence):
        for place, item in enumerate(value):
            trusted(item, f"{field}.{place}" if field else str(place), depth + 1)
    return value


def timely(entry: LogEntry, started: System | None) -> None:
    """Refuse an entry that is still to come, older than any loop, or of a time before its loop began.

    Raises
    ------
    GardenError
        Naming `at`.
    """
    for name, at in (("at", entry.at), ("recorded_at", entry.recorded_at)):
        try:
            known = FIRST <= at <= clock.now() + AHEAD
        except OverflowError:
            known = False
        if not known:
            allowed = tr("must be from {year} to now; nothing is logged ahead of time")
            raise GardenError(name, at, allowed.format(year=FIRST.year))
    if started is not None and not isinstance(entry.payload, SetUp) and started.day_of(entry.at) < started.started_on:
        raise GardenError("at", entry.at, tr("the loop began on {day}").format(day=started.started_on))
