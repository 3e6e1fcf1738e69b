"""Days away that are known ahead: which comes next, what to do before it, and how much is fed on return."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.spells import spell_on, spells
from rillbed.plan.carry import carried

LEAD_DAYS = int(facts.value("plan.away_lead_days"))
CLEAN_DAYS = int(facts.value("plan.away_clean_days"))
LOWER_DAYS = int(facts.value("plan.away_lower_days"))
RETURN_DAYS = int(facts.value("plan.away_return_days"))


@dataclass(frozen=True)
class Seen:
    """What the log knows of days away, seen from one day.

    Attributes
    ----------
    now, next, back : Spell or None
        The one the day lies in, the next to begin after it, and the last that ended before it, in the two weeks past.
    """

    on: date
    now: Spell | None
    next: Spell | None
    back: Spell | None

    @property
    def ahead(self) -> Spell | None:
        """The next spell, if it is near enough to prepare for."""
        near = self.next is not None and (self.next.first - self.on).days <= LEAD_DAYS
        return self.next if near else None


def hand_over(spell: Spell) -> date:
    """Give the day on which the loop is handed over: the last one at home."""
    return spell.first - timedelta(days=1)


def away_on(entries: Sequence[LogEntry], on: date) -> Seen:
    """Look at the spells of a log from one day."""
    every = [spell for _, spell in spells(entries)]
    coming = [spell for spell in every if spell.first > on]
    gone = [spell for spell in every if 0 < (on - spell.last).days <= RETURN_DAYS]
    now = spell_on(entries, on)
    return Seen(
        on, now, coming[0] if coming else None,
        max(gone, key=lambda spell: spell.last) if gone and now is None else None,
    )  # fmt: skip


def share_on(entries: Sequence[LogEntry], day: date) -> float:
    """Part of the ration that is given on a day, by the spells of the log."""
    spell = spell_on(entries, day)
    return 1.0 if spell is None else spell.feed_share


def carried_back(entries: Sequence[LogEntry], forecast: Forecast, day: date, feed: str | None) -> float | None:
    """Feed that the bacteria carry in nine futures of ten, g, in the two weeks after a spell with less; else None.

    Bacteria die back without ammonia, so the ration is begun with what they carry, as the sheet for the return says.
    """
    back = away_on(entries, day).back
    if back is None or back.feed_share >= 1.0:
        return None
    return carried(forecast, day, feed).feed_g_day.low
