"""Fish groups: what they eat, how they grow, what they give back."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from rillbed import facts
from rillbed.engine.inputs import Feed, Fish
from rillbed.engine.result import Array
from rillbed.science import feed as feeds
from rillbed.science import growth

MOST_RATION = 0.20  # g feed per g fish and day, for the smallest fry
SIZES = ("fry", "large", "giant")
MEAN_RATE = 0.3  # 1/day, running means of what fish feel: midnight values make feast-and-fast cycles


@dataclass
class Group:
    """One group: count (scalar) and mean weight per member."""

    kind: Fish
    name: str
    count: float
    weight: Array


@dataclass
class Felt:
    """Running means of what fish respond to, g/m3."""

    tan: Array
    no2: Array
    cl: Array
    o2: Array

    def follow(self, tan: Array, no2: Array, cl: Array, o2: Array) -> None:
        """Move a day towards today's values."""
        share = 1.0 - np.exp(-MEAN_RATE)
        self.tan = self.tan + share * (tan - self.tan)
        self.no2 = self.no2 + share * (no2 - self.no2)
        self.cl = self.cl + share * (cl - self.cl)
        self.o2 = self.o2 + share * (o2 - self.o2)


@dataclass(frozen=True)
class Meal:
    """What a group makes of its feed of a day: gain of one fish, and for the group what is left and where N goes, g."""

    gain: Array
    left: Array
    given_n: Array
    kept_n: Array
    dissolved_n: Array
    solids_n: Array


def appetite(kind: Fish, felt: Felt) -> Array:
    """Share of the full ration taken: the least that ammonia, nitrite past its chloride, and oxygen allow."""
    nitrite = np.maximum(felt.no2 - kind.cl_guard * felt.cl, 0.0)
    poisons = np.minimum(
        growth.poison_response.inner(felt.tan, kind.tan_limit), growth.poison_response.inner(nitrite, kind.no2_limit)
    )
    return np.asarray(np.minimum(poisons, growth.oxygen_response.inner(felt.o2, kind.o2_want, kind.o2_crit)))


def warmth(kind: Fish, temp: Array) -> Array:
    """Share of full growth at a temperature; nothing where the species stops feeding."""
    return np.where(
        temp < kind.t_stop, 0.0, growth.temperature_response.inner(temp, kind.t_low, kind.t_best, kind.t_high)
    )


@dataclass(frozen=True)
class Able:
    """What a group could do on one day in good water: warmth, feed per gain, and gain of one fish, g/day."""

    warmth: Array
    fcr: Array
    gain: Array


@cache
def _best_rate(kind: Fish) -> float:
    """Growth at the best temperature, g^1/3 per day."""
    there = growth.temperature_response.inner(kind.tgc_at_c, kind.t_low, kind.t_best, kind.t_high)
    return float(growth.best_rate.inner(kind.tgc, kind.tgc_at_c, there))


def able(group: Group, temp: Array, p: Mapping[str, Array]) -> Able:
    """Give what a group could do at a temperature."""
    kind, warm = group.kind, warmth(group.kind, temp)
    best = _best_rate(kind) * growth.size_response.inner(group.weight, kind.harvest_g, kind.end_g)
    gain = growth.full_gain_g_day.inner(group.weight, best * p["tgc_factor"] * warm)
    return Able(warm, conversion(group, p["fcr_factor"]), gain)


def conversion(group: Group, factor: Array) -> Array:
    """Feed per gain of a group at its present weight: that of the species, less for fry, more for big fish."""
    knots = [(facts.choice(f"conversion.{size}_g"), facts.choice(f"conversion.{size}_share")) for size in SIZES]
    return group.kind.fcr * factor * growth.conversion_response.inner(group.weight, knots)


def full_ration(group: Group, now: Able) -> Array:
    """Feed for a group in good water, g/day: what full growth asks, at most the feed table."""
    need = growth.need_g_day.inner(now.gain, now.fcr)
    per_fish = np.minimum(need, _table(group) * now.warmth * group.weight)
    return np.asarray(group.count * per_fish)


def _table(group: Group) -> Array | float:
    """Most feed per g of fish and day at the best temperature."""
    if not group.kind.table:
        return MOST_RATION
    weights, shares = zip(*group.kind.table, strict=True)
    return np.asarray(np.minimum(growth.table_ration_g_g_day.inner(group.weight, weights, shares), MOST_RATION))


def eat(group: Group, now: Able, feed: Feed, grams: Array, appetite: Array, p: Mapping[str, Array]) -> Meal:
    """Feed `grams` to the whole group: it eats what it can grow on, and the rest is left uneaten."""
    want = growth.need_g_day.inner(now.gain, now.fcr) * appetite
    taken = np.minimum(grams / group.count, want)
    upkeep = group.weight * growth.upkeep_g_g_day.inner(group.weight, now.warmth)
    gain = growth.gain_g_day.inner(taken, now.gain, now.fcr, upkeep)
    given_n = feeds.nitrogen_g.inner(grams, feed.protein)
    meal_n = feeds.nitrogen_g.inner(taken * group.count, feed.protein)
    fate = feeds.nitrogen_fate.inner(meal_n, gain * group.count, p["uneaten"], p["faecal"], group.kind.n_body)
    return Meal(
        gain, grams - taken * group.count, given_n, fate.retained, fate.dissolved, fate.solids + (given_n - meal_n)
    )
