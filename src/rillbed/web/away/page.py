"""Spells away as they are listed, and what Today says of the next and the last one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol
from uuid import UUID

from django.urls import reverse
from django.utils.http import urlencode

from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.spells import spells
from rillbed.plan.spells import CLEAN_DAYS, LOWER_DAYS, Seen, away_on, hand_over
from rillbed.tongue import tr
from rillbed.words import capital, say
from rillbed.words.happened import fed


class Days(Protocol):
    """What has a first and a last day, both included."""

    @property
    def first(self) -> date:
        """First day."""

    @property
    def last(self) -> date:
        """Last day."""


@dataclass(frozen=True)
class Line:
    """One spell: its days, who feeds, when it is handed over, its sheet; `mine` if it may be changed."""

    uuid: UUID
    name: str
    days: str
    told: str
    sheet: str
    shares: str
    mine: bool


@dataclass(frozen=True)
class Notice:
    """What Today says of days away: a title, what to do, and the sheet, if one is of use."""

    title: str
    lines: tuple[str, ...]
    sheet: str = ""
    now: bool = False  # before all other work of the day


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    verdict: str
    ahead: tuple[Line, ...]
    past: tuple[Line, ...]
    notices: tuple[Notice, ...]


def page(log: Sequence[LogEntry], on: date, changeable: frozenset[UUID]) -> Page:
    """List the spells of a log; those in `changeable` may be changed by whoever looks."""
    every = [_line(entry, spell, on, entry.uuid in changeable) for entry, spell in spells(log)]
    coming = {entry.uuid for entry, spell in spells(log) if spell.last >= on}
    return Page(
        verdict=_verdict(away_on(log, on)),
        ahead=tuple(line for line in every if line.uuid in coming),
        past=tuple(reversed([line for line in every if line.uuid not in coming])),
        notices=notices(log, on),
    )


def _verdict(known: Seen) -> str:
    if known.now is not None:
        return say("{name}: home again on {day:day}.", name=known.now.name, day=known.now.last + timedelta(days=1))
    if known.next is not None:
        days = (known.next.first - known.on).days
        return say("{n:count day} until {name}.", name=known.next.name, n=days)
    return tr("Holidays known ahead are holidays prepared for.")


def _line(entry: LogEntry, spell: Spell, on: date, mine: bool) -> Line:
    told = say("{fed}; hand over on {day:day}", fed=fed(spell), day=hand_over(spell)) if spell.by else fed(spell)
    sheet, shares = (address(spell) if spell.first > on else "" for address in (sheet_of, shares_of))
    return Line(entry.uuid, spell.name, days_of(spell), told, sheet, shares, mine)


def days_of(spell: Spell) -> str:
    """Say the days of a spell."""
    return stretch(spell.first, spell.last)


def stretch(first: date, last: date) -> str:
    """Say some days, and how many they are."""
    if first == last:
        return say("{first:day}, one day", first=first)
    return say("{first:day} to {last:day}, {n:count day}", first=first, last=last, n=(last - first).days + 1)


def shares_of(days: Days) -> str:
    """Give the address that compares parts of the ration in some days."""
    asked = {"first": days.first.isoformat(), "last": days.last.isoformat()}
    return f"{reverse('away-shares')}?{urlencode(asked)}"


def sheet_of(spell: Spell) -> str:
    """Give the address of the hand-over sheet of a spell."""
    asked = {"first": spell.first.isoformat(), "last": spell.last.isoformat(), "share": f"{spell.feed_share:g}"}
    return f"{reverse('paper-away')}?{urlencode(asked)}"


def notices(log: Sequence[LogEntry], on: date) -> tuple[Notice, ...]:
    """Say what the days away ask for today: in one, after one, before one."""
    known = away_on(log, on)
    found = []
    if known.now is not None:
        found.append(_within(known.now))
    if known.back is not None and known.back.feed_share < 1.0:
        found.append(_after(known.back, on))
    if known.ahead is not None:
        found.append(_before(known.ahead, on))
    return tuple(found)


def _within(spell: Spell) -> Notice:
    lines = (
        say("{fed}.", fed=capital(fed(spell))),
        say("Home again on {day:day}.", day=spell.last + timedelta(days=1)),
    )
    return Notice(say("Away: {name}", name=spell.name), lines)


def _before(spell: Spell, on: date) -> Notice:
    days = (spell.first - on).days
    clean, lower = (spell.first - timedelta(days=n) for n in (CLEAN_DAYS, LOWER_DAYS))
    lines = [say("{days}. {fed}.", days=days_of(spell), fed=capital(fed(spell)))]
    if on >= clean:
        lines.append(tr("No large clean of a bed now: bacteria would leave with it, and few grow while less is fed."))
    else:
        lines.append(say("The last day for a large clean of a bed is {day:day}.", day=clean - timedelta(days=1)))
    if spell.by and spell.feed_share > 0.0:
        lines.append(tr("Weigh out the feed, day by day. If a feeder gives it: let it run, and weigh what it gives."))
    if on >= lower:
        lines.append(tr("Lower the feed towards that of the days away."))
    else:
        lines.append(say("Lower the feed from {day:day} on.", day=lower))
    today = on == hand_over(spell)
    if today:
        title = say("Hand over today: {name}", name=spell.name)
    else:
        title = say("{name} in {n:count day}: hand over on {day:day}", name=spell.name, n=days, day=hand_over(spell))
    return Notice(title, tuple(lines), sheet_of(spell), now=today)


def _after(spell: Spell, on: date) -> Notice:
    lines = [
        tr("The ration is held to what the bacteria still carry, and grows with them."),
        say("Test ammonia and nitrite on {day:day}.", day=spell.last + timedelta(days=2)),
    ]
    if (on - spell.last).days > 2:
        lines[1] = tr("Test ammonia and nitrite before each step up.")
    return Notice(say("Back from {name}", name=spell.name), tuple(lines))
