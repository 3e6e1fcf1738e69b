"""Jobs as an iCalendar file (RFC 5545): all-day entries, the same job the same entry as long as its days stay."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from rillbed.garden.errors import GardenError
from rillbed.plan.week import Task
from rillbed.tongue import ENGLISH, current, speaking
from rillbed.web import bridge, clock
from rillbed.web.log.models import Loop
from rillbed.web.paper.week import coming
from rillbed.words.week import task

DAYS = 42
LEFT_OUT = frozenset({"feed"})  # every day, and its grams change: Today says them


@dataclass(frozen=True)
class Item:
    """One entry: of which loop, what, and its days, both included."""

    loop: Loop
    code: str
    text: str
    name: str  # the same whoever asks, so that the entry is
    first: date
    last: date


def items(loops: Iterable[Loop]) -> list[Item]:
    """List what is to do in these loops, soonest first; a loop that is not set up yet has nothing."""
    found: list[Item] = []
    for loop in loops:
        try:
            on = clock.today(bridge.standing_system(loop))
            found += [_item(loop, one) for one in coming(loop, on, DAYS) if one.code not in LEFT_OUT]
        except GardenError:
            continue
    return sorted(found, key=lambda one: (one.first, one.last, one.loop.pk, one.text))


def _item(loop: Loop, one: Task) -> Item:
    with speaking(ENGLISH):
        name = task(one)
    return Item(loop, one.code, task(one), name, one.first, one.last)


def written(found: Iterable[Item], now: datetime) -> bytes:
    """Write a calendar; it says in which language its entries are (RFC 5545, 3.2.10, and ISO 9070 for its maker)."""
    calendar, language = Calendar(), current().language
    calendar.add("prodid", f"-//Rillbed//Calendar//{language.partition('-')[0].upper()}")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", "Rillbed")
    for one in found:
        event = Event()
        event.add("uid", f"{uuid5(NAMESPACE_URL, f'{one.loop.pk} {one.code} {one.name} {one.last}')}@rillbed")
        event.add("dtstamp", now)
        event.add("dtstart", one.first)
        event.add("dtend", one.last + timedelta(days=1))  # the day after: the end itself does not count
        event.add("summary", f"{one.text} ({one.loop.name})", parameters={"LANGUAGE": language})
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
