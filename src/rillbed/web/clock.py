"""The clock of the pages: the only place where they ask for the time, so that an example can pretend another day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from rillbed.garden.system import System

_ahead = timedelta()


def pretend(on: date | None) -> None:
    """Move the clock by whole days so that today is `on`; None gives the true time back."""
    global _ahead
    _ahead = timedelta() if on is None else on - datetime.now(UTC).date()


def now() -> datetime:
    """Return the moment, aware, to the second."""
    return datetime.now(UTC).replace(microsecond=0) + _ahead


def today(system: System) -> date:
    """Return the calendar day where the loop stands."""
    return system.day_of(now())


def zone(system: System) -> tzinfo:
    """Return the time zone where the loop stands."""
    return UTC if system.time_zone == "UTC" else ZoneInfo(system.time_zone)


def local(system: System, at: datetime) -> datetime:
    """Return a moment as the clock on the wall beside the loop shows it."""
    return at.astimezone(zone(system))
