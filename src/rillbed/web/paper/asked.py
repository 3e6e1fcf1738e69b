"""The days away, and how much is fed in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.plan.spells import away_on
from rillbed.tongue import later, tr
from rillbed.web.log.kinds import SHARES
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import number

AWAY = (
    Field("first", later("First day away"), "date"),
    Field("last", later("Last day away"), "date"),
    Field("share", later("Feed meanwhile"), "choice", lambda: SHARES),
)


def away_of(typed: Mapping[str, str]) -> tuple[date, date, float]:
    """Read the days and the share.

    Raises
    ------
    GardenError
        Naming the field.
    """
    return _day(typed, "first"), _day(typed, "last"), number("share", typed.get("share") or SHARES[0][0])


def next_asked(log: Sequence[LogEntry], on: date) -> dict[str, str]:
    """Give the days of the next spell away, or what is left of the one at hand, as typed; empty without one."""
    known = away_on(log, on)
    spell = known.now if known.now is not None and known.now.last > on else known.next
    if spell is None:
        return {}
    first = max(spell.first, on + timedelta(days=1))
    return {"first": first.isoformat(), "last": spell.last.isoformat(), "share": f"{spell.feed_share:g}"}


def _day(typed: Mapping[str, str], name: str) -> date:
    try:
        return date.fromisoformat(typed.get(name, ""))
    except ValueError:
        raise GardenError(name, typed.get(name, ""), tr("needs a date such as 2031-05-22")) from None
