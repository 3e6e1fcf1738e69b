"""How much of a long log is run: the days that still bear on what comes, so that a loop's age costs nothing."""

from __future__ import annotations

from datetime import date, timedelta

LEAST_DAYS = 400  # of the window: a whole year of seasons, and what the water held before it has gone
OLDEST_DAYS = 50 * 366  # no loop is older: the day was mistyped
STEP_DAYS = 90  # the window moves on this often, so that one fit serves many days


def begin_of(start: date, on: date) -> date:
    """Give the first day that is run: the loop's start, until the log is older than a window and a step.

    Parameters
    ----------
    start : date
        Day the loop was set up.
    on : date
        Last day of the log that counts.

    Raises
    ------
    ValueError
        For a day too long after the start.

    Examples
    --------
    >>> begin_of(date(2020, 1, 1), date(2021, 5, 4))
    datetime.date(2020, 1, 1)
    >>> begin_of(date(2020, 1, 1), date(2021, 5, 5))
    datetime.date(2020, 3, 31)
    """
    last = start + timedelta(days=OLDEST_DAYS)
    if on > last:
        raise ValueError(f"on: {on} is too long after the loop's start; allowed to {last}")
    steps = max((on - start).days - LEAST_DAYS, 0) // STEP_DAYS
    return start + timedelta(days=steps * STEP_DAYS)
