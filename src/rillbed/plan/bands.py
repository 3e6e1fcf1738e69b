"""The one shape of a range."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Band:
    """A quantity's spread over the members: 10, 50 and 90 % points, in the unit of its name."""

    low: float
    middle: float
    high: float
