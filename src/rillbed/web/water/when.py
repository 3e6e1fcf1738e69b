"""The time typed on a form, at the place of the loop."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.words import say

TYPED = "%Y-%m-%dT%H:%M"
AHEAD = timedelta(minutes=2)  # clocks differ


def moment(system: System, typed: str) -> datetime:
    """Return the typed time; not later than now, not before the loop began.

    Raises
    ------
    GardenError
        If it is not a time, before the loop began, or still to come.
    """
    at = parsed(system, typed)
    if at > clock.now() + AHEAD:
        raise GardenError("time", typed, tr("nothing can be logged ahead of time; it must not be in the future"))
    if system.day_of(at) < system.started_on:
        raise GardenError("time", typed, say("the loop began on {day}", day=str(system.started_on)))
    return at


def parsed(system: System, typed: str) -> datetime:
    """Return the typed time, in UTC: two moments of a zone that puts its clocks back cannot be told apart or ordered.

    Of an hour that comes twice the last that has been is meant; a time that was skipped is the one as long after.

    Raises
    ------
    GardenError
        If it is not a time.
    """
    try:
        shown = datetime.strptime(typed, TYPED).replace(tzinfo=clock.zone(system))
        once, again = shown.astimezone(UTC), shown.replace(fold=1).astimezone(UTC)
        return again if once < again <= clock.now() + AHEAD else once
    except (ValueError, OverflowError):
        raise GardenError("time", typed, tr("needs a date and a time, e.g. 2031-05-22T08:05")) from None
