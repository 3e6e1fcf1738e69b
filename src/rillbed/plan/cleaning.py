"""When beds are best not cleaned: before days away, in them, and until bacteria are back after them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.garden.log import LogEntry
from rillbed.garden.spells import spells
from rillbed.plan.advice import Reason
from rillbed.plan.spells import CLEAN_DAYS, RETURN_DAYS

LARGE = frozenset({"clean_bed"})  # jobs that carry a good part of the bacteria out
ROOM_DAYS = 7  # a job that has no day of its own left gets so many, before or after
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Closed:
    """Days in which no bed is cleaned on a large scale, and the spells they belong to."""

    first: date
    last: date
    names: tuple[str, ...]

    def covers(self, day: date) -> bool:
        """Whether a day is one of them."""
        return self.first <= day <= self.last


def closed(entries: Sequence[LogEntry]) -> tuple[Closed, ...]:
    """Return the days closed by the spells of a log; stretches that touch are one."""
    found: list[Closed] = []
    for _, spell in spells(entries):
        first = spell.first - timedelta(days=CLEAN_DAYS)
        last = spell.last + timedelta(days=RETURN_DAYS if spell.feed_share < 1.0 else 0)
        if found and first <= found[-1].last + DAY:
            before = found.pop()
            found.append(Closed(before.first, max(before.last, last), (*before.names, spell.name)))
        else:
            found.append(Closed(first, last, (spell.name,)))
    return tuple(found)


def moved(first: date, latest: date, on: date, stretches: Sequence[Closed]) -> tuple[date, date, tuple[Reason, ...]]:
    """Move the days in which a large clean is due out of closed ones, and say why.

    Days are only cut at their ends; where none is left the job goes to the last open ones before, else to the first
    after.

    Parameters
    ----------
    first, latest : date
        Days between which the job is due.
    on : date
        Today.
    stretches : sequence of Closed
        As `closed` returns them.
    """
    why: list[Reason] = []
    for n, one in enumerate(stretches):
        begin, end = max(first, on), max(latest, on)
        if one.last < begin or one.first > end:
            continue
        before = stretches[n - 1].last + DAY if n else date.min
        after = stretches[n + 1].first - DAY if n + 1 < len(stretches) else date.max
        if one.covers(begin) and one.covers(end):
            if one.first > on:
                first, latest = max(on, before, one.first - ROOM_DAYS * DAY), one.first - DAY
                why.append(_reason("upkeep.away_before", one))
                break
            first, latest = one.last + DAY, min(after, one.last + ROOM_DAYS * DAY)
            why.append(_reason("upkeep.away_after", one))
        elif one.covers(begin):
            first = one.last + DAY
            why.append(_reason("upkeep.away_after", one))
        elif one.covers(end):
            latest = one.first - DAY
            why.append(_reason("upkeep.away_before", one))
        else:
            why.append(_reason("upkeep.away_between", one))
    return first, latest, tuple(why)


def _reason(code: str, one: Closed) -> Reason:
    names = ", ".join(one.names)
    told = {"name": names, "first": one.first.isoformat(), "last": one.last.isoformat()}
    return Reason(code, told)
