"""How a kind of fish grows through the year at a place, and what a loop of several lots eats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine.calendar import monthly
from rillbed.engine.fish import Group, able, full_ration
from rillbed.engine.pack import fish_of

Floats = NDArray[np.float64]
START = date(2025, 1, 1)  # only the month counts


@dataclass(frozen=True)
class Raised:
    """One fish from purchase to the table.

    Attributes
    ----------
    weight_g, feed_g : (days,)
        Weight at the start of each day, and feed of that day.
    done : bool
        Whether it reached its harvest weight within `size.longest_days`.
    """

    weight_g: Floats
    feed_g: Floats
    done: bool

    @property
    def days(self) -> int:
        """Days in the loop."""
        return len(self.feed_g)


def raised(species: str, water_c: Sequence[float], bought: int) -> Raised:
    """Raise one fish bought in a month (1 to 12) in good water, at full ration."""
    kind, one = fish_of(species), np.ones(1)
    group = Group(kind, species, 1.0, np.array([facts.value("size.fish_start_g")]))
    day = START.replace(month=bought)
    weights: list[float] = []
    feeds: list[float] = []
    while group.weight[0] < kind.harvest_g and len(weights) < facts.value("size.longest_days"):
        temp = np.array([monthly(tuple(water_c), day)])
        now = able(group, temp, {"tgc_factor": one, "fcr_factor": one})
        ration = full_ration(group, now)
        weights.append(group.weight[0])
        feeds.append(ration[0])
        group.weight = group.weight + np.minimum(ration / now.fcr, now.gain)
        day += timedelta(days=1)
    return Raised(np.array(weights), np.array(feeds), bool(group.weight[0] >= kind.harvest_g))


@dataclass(frozen=True)
class Shoals:
    """A loop in which lots of different age follow each other, for each fish kept on average.

    Attributes
    ----------
    feed_g_day : float
        Mean feed over the year for one fish in the loop.
    most_feed_g_day, most_weight_g : float
        The fullest day: feed, and mass of fish, for one fish in the loop.
    days : int
        From purchase to table, mean of the lots.
    done : bool
        Whether every lot gets there.
    """

    feed_g_day: float
    most_feed_g_day: float
    most_weight_g: float
    days: int
    done: bool


def shoals(species: str, water_c: Sequence[float], lots: int) -> Shoals:
    """Let lots bought at even distances follow each other; each place is taken again when a lot is eaten."""
    months = [1 + round(12 * i / lots) % 12 for i in range(lots)]
    courses = [raised(species, water_c, month) for month in months]
    days = round(float(np.mean([c.days for c in courses])))
    feed, mass = np.zeros(days), np.zeros(days)
    for i, course in enumerate(courses):
        # lots stand evenly over one life: what one eats today the next one ate a part of a life ago
        at = (np.arange(days) + round(i * days / lots)) % days
        at = np.minimum(at * course.days // days, course.days - 1)
        feed += course.feed_g[at] / lots
        mass += course.weight_g[at] / lots
    return Shoals(float(feed.mean()), float(feed.max()), float(mass.max()), days, all(c.done for c in courses))


def others(species: str, water_c: Sequence[float]) -> tuple[str, ...]:
    """Kinds that do get to the table in this water, quickest first."""
    found = []
    for name, row in facts.species().items():
        if name == species or not row.temp_lethal_low_c < min(water_c) <= max(water_c) < row.temp_lethal_high_c:
            continue
        try:
            course = raised(name, water_c, 4)
        except ValueError:  # neither growth nor a feed table is known
            continue
        if course.done:
            found.append((course.days, name))
    return tuple(name for _, name in sorted(found))
