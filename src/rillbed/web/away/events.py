"""A calendar of term dates as lines of text: each event from a day on, one that repeats on each of its days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from icalendar import Calendar

from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web.away.rules import repeated
from rillbed.words import day, say

MOST_BYTES = 2**20
AHEAD_DAYS = 400  # a school year and a bit: what repeats without end ends here
MOST_REPEATING = 60
STUMBLES = (ValueError, LookupError, TypeError, AttributeError, OverflowError)  # what the libraries raise


@dataclass(frozen=True)
class Lines:
    """Lines to look over, and what is to be known of events that repeat."""

    text: str
    notes: tuple[str, ...]


def lines_of(data: bytes, system: System, on: date) -> Lines:
    """Turn a calendar file into lines that can be looked over; what is over by a day is left out.

    Raises
    ------
    GardenError
        For what is no calendar, is too large, or holds nothing to come.
    """
    if len(data) > MOST_BYTES:
        raise GardenError("file", f"{len(data)} bytes", tr("at most {n} MB").format(n=MOST_BYTES // 2**20))
    notes: list[str] = []
    try:
        events = [event for event in Calendar.from_ical(data).walk("VEVENT") if "DTSTART" in event]
        told = sorted(set(_spans(events, system, on, notes)))
    except STUMBLES:
        raise GardenError("file", tr("this file"), tr("must be a calendar (iCalendar, .ics) with dates")) from None
    if not told and not notes:
        raise GardenError("file", tr("this file"), tr("must hold a date from {day} on").format(day=day(on)))
    text = "\n".join(f"{name}, {first.isoformat()}, {last.isoformat()}" for first, last, name in told)
    return Lines(text, tuple(notes))


def _spans(events: Iterable[Any], system: System, on: date, notes: list[str]) -> Iterator[tuple[date, date, str]]:
    """Give first day, last day and name of all that is not over, and note what repeats."""
    every = list(events)
    # One date of several that was moved stands as an event of its own.
    moved = {
        (str(one.get("UID", "")), _local(one.decoded("RECURRENCE-ID"), system))
        for one in every if "RECURRENCE-ID" in one
    }  # fmt: skip
    repeating = 0
    for event in every:
        first, last, name = _event(event, system)
        days = [first]
        if "RRULE" in event or "RDATE" in event:
            repeating += 1
            try:
                if repeating > MOST_REPEATING:
                    raise ValueError("too many")
                left = [one for one in _days(event, first, system, on) if (str(event.get("UID", "")), one) not in moved]
                days = [one for one in left if one + (last - first) >= on]
                if len(days) > 1:
                    told = say(
                        "{name} repeats: {n} dates until {end}.", name=name, n=len(days), end=days[-1].isoformat()
                    )
                    notes.append(told)
            except STUMBLES:
                told = say("{name} repeats. Only its first date, {first}, was looked at.", name=name, first=str(first))
                notes.append(told)
        for one in days:
            if one + (last - first) >= on:
                yield one, one + (last - first), name


def _days(event: Any, first: date, system: System, on: date) -> list[date]:
    """Give the days on which an event begins, its first among them, up to the end of what is looked at.

    Raises
    ------
    ValueError
        For a rule that is not gone through, as any of `STUMBLES`.
    """
    start = event.decoded("DTSTART")
    # Rules speak of the days of the event's own clock, which may be others here.
    wall = start.date() if isinstance(start, datetime) else start
    end, shift = on + timedelta(days=AHEAD_DAYS), first - wall
    found = {wall}
    for rule in event.rrules:
        until = end if "UNTIL" not in rule else min(end, _local(rule["UNTIL"][0], system))
        found |= set(repeated(rule, wall, on - timedelta(days=AHEAD_DAYS), until))
    here = {one + shift for one in found} | {_local(one[0], system) for one in event.rdates}
    return sorted(one for one in here - {_local(gone, system) for gone in event.exdates} if one <= end)


def _event(event: Any, system: System) -> tuple[date, date, str]:
    """First day, last day and name of an event; its end is the first moment after it."""
    first = _local(event.decoded("DTSTART"), system)
    if "DTEND" in event:
        end = event.decoded("DTEND")
        whole = not isinstance(end, datetime) or end.time() == datetime.min.time()
        last = _local(end, system) - timedelta(days=1 if whole else 0)
    elif "DURATION" in event:
        last = first + max(event.decoded("DURATION") - timedelta(days=1), timedelta(0))
    else:
        last = first
    name = " ".join(str(event.get("SUMMARY", "")).replace(",", " ").replace(";", " ").split())
    return first, max(first, last), name[:80] or tr("days away")


def _local(when: Any, system: System) -> date:
    if isinstance(when, datetime):
        return system.day_of(when) if when.tzinfo else when.date()
    if isinstance(when, date):
        return when
    raise TypeError("no date")
