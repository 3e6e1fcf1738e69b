"""The days away, and how much is fed in them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from rillbed.garden.errors import GardenError
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


def _day(typed: Mapping[str, str], name: str) -> date:
    try:
        return date.fromisoformat(typed.get(name, ""))
    except ValueError:
        raise GardenError(name, typed.get(name, ""), tr("needs a date such as 2031-05-22")) from None
