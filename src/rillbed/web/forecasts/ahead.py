"""The near part of a loop's last forecast, kept so that pages can ask it questions of their own."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from rillbed.plan.ahead import Forecast
from rillbed.plan.near import near, packed, unpacked
from rillbed.web.forecasts.models import StoredAhead
from rillbed.web.log.models import Loop


def keep(loop: Loop, forecast: Forecast, on: date, upto: int, made_with: str) -> None:
    """Store the near part of a forecast in place of the loop's last one."""
    values = {"on": on, "upto": upto, "made_with": made_with, "data": packed(near(forecast, on))}
    StoredAhead.objects.update_or_create(loop=loop, defaults=values)


def ahead_of(loop: Loop, on: date, model: str) -> Forecast | None:
    """Return the near part of the last forecast; None while there is none of this model that reaches the day.

    Parameters
    ----------
    model : str
        What it must have been made with, or begin with: a first answer is better than none.
    """
    row = StoredAhead.objects.filter(loop=loop, made_with__startswith=model).defer("data").first()
    if row is None:
        return None
    found = _read(loop.pk, row.upto, row.on, row.made_with)
    return found if 0 <= (on - found.start).days <= found.days else None


@lru_cache(maxsize=16)
def _read(loop: int, upto: int, on: date, made_with: str) -> Forecast:
    """Read the arrays once for each state of the log: they are large."""
    return unpacked(bytes(StoredAhead.objects.get(pk=loop).data))
