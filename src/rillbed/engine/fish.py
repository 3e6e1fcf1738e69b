"""Fish groups: what they eat, how they grow, what they give back."""

from dataclasses import dataclass

import numpy as np

from rillbed.engine.inputs import Feed, Fish
from rillbed.engine.result import Array

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
    o2: Array

    def follow(self, tan: Array, no2: Array, o2: Array) -> None:
        """Move a day towards today's values."""
        share = 1.0 - np.exp(-MEAN_RATE)
        self.tan = self.tan + share * (tan - self.tan)
        self.no2 = self.no2 + share * (no2 - self.no2)
        self.o2 = self.o2 + share * (o2 - self.o2)


def appetite(kind: Fish, felt: Felt) -> Array:
    """Share of the ration taken: falls from 0.75 to 1.5 times the ammonia or nitrite limit, and with oxygen."""

    def fall(x: Array, limit: float) -> Array:
        return np.clip((1.5 * limit - x) / (0.75 * limit), 0.0, 1.0)

    oxygen = np.clip((felt.o2 - kind.o2_crit) / max(kind.o2_want - kind.o2_crit, 0.1), 0.0, 1.0)
    return np.minimum(np.minimum(fall(felt.tan, kind.tan_limit), fall(felt.no2, kind.no2_limit)), oxygen)


def warmth(kind: Fish, temp: Array) -> Array:
    """Effective temperature of thermal growth: grows to the best temperature, falls to zero at the upper limit."""
    rising = np.where(temp > kind.t_low, temp, np.maximum(temp - (kind.t_low - 4.0), 0.0) * kind.t_low / 4.0)
    falling = kind.t_best * np.clip((kind.t_high - temp) / (kind.t_high - kind.t_best), 0.0, 1.0)
    return np.where(temp > kind.t_best, falling, rising)


def gain_max(group: Group, temp: Array, tgc_factor: Array) -> Array:
    """Gain of one fish (g/day) at full ration: derivative of the thermal growth law."""
    room = np.clip(1.0 - group.weight / group.kind.max_weight_g, 0.0, 1.0)
    return 3.0e-3 * group.kind.tgc * tgc_factor * warmth(group.kind, temp) * group.weight ** (2.0 / 3.0) * room


def ration(group: Group, temp: Array, tgc_factor: Array, fcr: Array, felt: Felt) -> Array:
    """Feed for the whole group, g/day."""
    per_fish = np.minimum(fcr * gain_max(group, temp, tgc_factor), group.kind.table_cap * group.weight)
    return group.count * per_fish * appetite(group.kind, felt)


def nitrogen_split(feed: Feed, grams: Array, gain: Array, n_body: float, uneaten: Array, faecal: Array):  # type: ignore[no-untyped-def]
    """Split feed N (g): into fish, dissolved and solids. Closed once: dissolved is what is left."""
    total = grams * feed.protein * 0.16
    solids = total * np.minimum(uneaten + faecal, 0.9)
    kept = np.minimum(gain * n_body, 0.6 * (total - solids))
    return total, kept, total - solids - kept, solids
