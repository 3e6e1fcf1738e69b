"""Monthly values on a day of the year."""

from collections.abc import Sequence
from datetime import date

MONTH_DAYS, MID_MONTH = 30.4, 15.5


def monthly(months: Sequence[float], today: date) -> float:
    """Give the value of a day: twelve mid-month values, January first, joined by straight lines."""
    x = today.month - 1 + (today.day - MID_MONTH) / MONTH_DAYS
    i = int(x // 1)
    return float(months[i % 12] + (x - i) * (months[(i + 1) % 12] - months[i % 12]))
