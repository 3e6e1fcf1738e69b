"""How good the forecasts of this loop have been: every reading against what was foreseen before it was used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.fit import Posterior
from rillbed.fit.skill import Foreseen

BAND = (0.1, 0.9)  # of the forecast: eight in ten readings should fall between
LATEST = 20


@dataclass(frozen=True)
class Kept:
    """One quantity: how many readings were foreseen, and how many of them fell inside, under and over the band."""

    quantity: str
    count: int
    inside: int
    under: int
    over: int


@dataclass(frozen=True)
class Held:
    """One reading: where in its forecast it fell (0 to 1), and whether that was inside the band."""

    on: date
    quantity: str
    place: float
    inside: bool


@dataclass(frozen=True)
class Trust:
    """What came of the forecasts.

    Attributes
    ----------
    count, inside : int
        Readings foreseen, and those between the two ends of the band.
    kept : tuple of Kept
        The same by quantity, most readings first.
    latest : tuple of Held
        The last readings, newest first.
    """

    count: int
    inside: int
    kept: tuple[Kept, ...]
    latest: tuple[Held, ...]


NOTHING = Trust(0, 0, (), ())


def trust(posterior: Posterior) -> Trust:
    """Score what was foreseen; zeros where nothing was read yet."""
    return scored(posterior.skill, posterior.setting.start)


def scored(found: Sequence[Foreseen], start: date) -> Trust:
    """Count where the readings of a loop that began on `start` fell in their forecasts."""
    kept = []
    for quantity in dict.fromkeys(one.quantity for one in found):
        places = [one.place for one in found if one.quantity == quantity]
        under, over = sum(place < BAND[0] for place in places), sum(place > BAND[1] for place in places)
        kept.append(Kept(quantity, len(places), len(places) - under - over, under, over))
    kept.sort(key=lambda one: -one.count)
    held = [
        Held(start + timedelta(days=one.day), one.quantity, one.place, BAND[0] <= one.place <= BAND[1]) for one in found
    ]
    latest = tuple(sorted(held, key=lambda one: one.on, reverse=True)[:LATEST])
    return Trust(len(found), sum(one.inside for one in kept), tuple(kept), latest)
