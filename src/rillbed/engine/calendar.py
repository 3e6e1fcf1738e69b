"""Monthly values on a day of the year."""

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value", float, float | NDArray[np.float64])

MONTH_DAYS, MID_MONTH = 30.4, 15.5


def monthly(months: Sequence[Value], today: date) -> Value:
    """Give the value of a day: twelve mid-month values, January first, joined by straight lines."""
    x = today.month - 1 + (today.day - MID_MONTH) / MONTH_DAYS
    i = int(x // 1)
    return months[i % 12] + (x - i) * (months[(i + 1) % 12] - months[i % 12])
