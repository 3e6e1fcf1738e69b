"""The days on which an event of a calendar repeats, by the rules of RFC 5545 that count in days.

Day by day instead of by a library: those go through a rule that no day fits to the end of time.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from typing import Any

KNOWN = frozenset({"FREQ", "INTERVAL", "COUNT", "UNTIL", "BYDAY", "BYMONTH", "BYMONTHDAY", "WKST"})
LONG_AGO_DAYS = 20 * 366  # a rule with a number of times is counted from its beginning
DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


def repeated(rule: Mapping[str, Any], wall: date, begin: date, until: date) -> Iterator[date]:
    """Give the days from `begin` to `until` on which an event of the day `wall` stands again.

    Parameters
    ----------
    rule : mapping
        Of each part a list of its values, as the reader of calendars gives it.

    Raises
    ------
    ValueError
        For a rule that is not gone through: by the hour or by weeks of the year, say, or counted from long ago.
    """
    kind, every = str(rule["FREQ"][0]), int(rule.get("INTERVAL", [1])[0])
    left = int(rule["COUNT"][0]) if "COUNT" in rule else None
    if set(rule) - KNOWN or every < 1 or (left is not None and (begin - wall).days > LONG_AGO_DAYS):
        raise ValueError("rule")
    nth, fits = _period(kind, str(rule.get("WKST", ["MO"])[0])), _fits(rule, kind, wall)
    day = wall if left is not None else max(wall, begin)
    while day <= until and left != 0:
        if (nth(day) - nth(wall)) % every == 0 and fits(day):
            left = None if left is None else left - 1
            if day >= begin:
                yield day
        day += timedelta(days=1)


def _period(kind: str, week_begins: str) -> Callable[[date], int]:
    """Give a number to each of the years, months, weeks or days that a rule goes by."""
    first = DAYS.index(week_begins)
    periods: dict[str, Callable[[date], int]] = {
        "YEARLY": lambda day: day.year,
        "MONTHLY": lambda day: 12 * day.year + day.month,
        "WEEKLY": lambda day: (day.toordinal() - 1 - first) // 7,
        "DAILY": lambda day: day.toordinal(),
    }
    if kind not in periods:
        raise ValueError("FREQ")
    return periods[kind]


def _fits(rule: Mapping[str, Any], kind: str, wall: date) -> Callable[[date], bool]:
    """Say which days of a period a rule means; what it leaves out is as on the first day."""
    months = {int(one) for one in rule.get("BYMONTH", ())}
    in_month = {int(one) for one in rule.get("BYMONTHDAY", ())}
    weekdays = {_weekday(str(one)) for one in rule.get("BYDAY", ())}
    if kind in ("WEEKLY", "DAILY") and any(nth for nth, _ in weekdays):
        raise ValueError("BYDAY")
    if kind == "WEEKLY" and not weekdays:
        weekdays = {(0, wall.weekday())}
    if kind in ("YEARLY", "MONTHLY") and not weekdays and not in_month:
        in_month = {wall.day}
        if kind == "YEARLY" and not months:
            months = {wall.month}
    of_year = kind == "YEARLY" and not months

    def fits(day: date) -> bool:
        end = monthrange(day.year, day.month)[1]
        if months and day.month not in months:
            return False
        if in_month and not in_month & {day.day, day.day - end - 1}:
            return False
        if not weekdays:
            return True
        at, of = (
            (day.timetuple().tm_yday, 366 if monthrange(day.year, 2)[1] == 29 else 365) if of_year else (day.day, end)
        )
        places = (0, (at - 1) // 7 + 1, -((of - at) // 7 + 1))
        return any((nth, day.weekday()) in weekdays for nth in places)

    return fits


def _weekday(text: str) -> tuple[int, int]:
    """Read ``FR`` or ``-1FR``: which of its kind, 0 for each, and the day of the week."""
    found = re.fullmatch(r"([+-]?\d{1,2})?(MO|TU|WE|TH|FR|SA|SU)", text)
    if found is None:
        raise ValueError(text)
    return int(found[1] or 0), DAYS.index(found[2])
