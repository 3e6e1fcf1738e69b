"""The time typed on a form, at the place of the loop."""

from __future__ import annotations

from datetime import datetime, timedelta

from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.words import say

TYPED = "%Y-%m-%dT%H:%M"


def moment(system: System, typed: str) -> datetime:
    """Return the typed time; not later than now, not before the loop began.

    Raises
    ------
    GardenError
        If it is not a time, before the loop began, or still to come.
    """
    at = parsed(system, typed)
    if at > clock.now() + timedelta(minutes=2):
        raise GardenError("time", typed, tr("nothing can be logged ahead of time; it must not be in the future"))
    if system.day_of(at) < system.started_on:
        raise GardenError("time", typed, say("the loop began on {day}", day=str(system.started_on)))
    return at


def parsed(system: System, typed: str) -> datetime:
    """Return the typed time.

    Raises
    ------
    GardenError
        If it is not a time.
    """
    try:
        return datetime.strptime(typed, TYPED).replace(tzinfo=clock.zone(system))
    except ValueError:
        raise GardenError("time", typed, tr("needs a date and a time, e.g. 2031-05-22T08:05")) from None
