"""What fish, plants and the water level tell: weigh-ins, pickings, top-ups, deaths, and fish that do not eat.

Temperatures are not held against a member: each one is given the temperature that was read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from scipy.special import ndtr

from rillbed import facts
from rillbed.engine.cropping import crop_of
from rillbed.engine.result import Array
from rillbed.fit.follow import Look
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry

SLIP = 0.02  # of amounts typed wrongly
WIDE = 0.05  # density of a typing slip on the ln scale: anything within a factor of e^10
SEEN_NOT_EATING = "fish do not eat"
HELD_APPETITE, POISONED_APPETITE = 0.5, 0.25

Kind = Literal["weighed", "picked", "topped_up", "died", "refused"]


@dataclass(frozen=True)
class Living:
    """One thing seen: where to look in a run, what was found, and its spread.

    Attributes
    ----------
    amount : float
        What was found, in the unit of the look times `factor`.
    sd : float
        ln-sd of an amount; unused for what just happened or not.
    """

    entry: LogEntry
    kind: Kind
    look: Look
    amount: float = 1.0
    factor: float = 1.0
    sd: float = 1.0
    limit: float = 0.0

    def shown(self, seen: Array) -> Array:
        """Give what a member shows, on the scale of `sd`."""
        if self.measured:
            return np.log(np.maximum(np.nan_to_num(seen * self.factor, nan=self.amount), 1e-9))
        return seen

    @property
    def measured(self) -> bool:
        """Whether it is an amount, not something that happened or not."""
        return self.kind in ("weighed", "picked", "topped_up")

    def below(self, seen: Array) -> Array:
        """Probability of a smaller amount; of what just happened, that of its not happening."""
        if not self.measured:
            return np.asarray(1.0 - np.exp(self.log_probability(seen)))
        clean = ndtr((np.log(self.amount) - self.shown(seen)) / self.sd)
        return np.asarray((1.0 - SLIP) * clean + SLIP / 2.0)

    def log_probability(self, seen: Array) -> Array:
        """Ln probability (density on the ln scale, for amounts) for each member, (members,)."""
        if self.measured:
            expected = np.log(np.maximum(seen * self.factor, 1e-9))
            x = (np.log(self.amount) - expected) / self.sd
            clean = np.exp(-0.5 * x**2) / (self.sd * np.sqrt(2.0 * np.pi))
            return np.where(np.isfinite(seen), np.log((1.0 - SLIP) * clean + SLIP * WIDE), 0.0)
        if self.kind == "died":
            often, seldom = facts.value("fit.deaths_when_poisoned"), facts.value("fit.deaths_otherwise")
            return np.log(np.where(seen < self.limit, often, seldom))
        often, seldom = facts.value("fit.refusal_when_held"), facts.value("fit.refusal_otherwise")
        return np.log(np.where(seen < self.limit, often, seldom))


def living_of(setting: Setting, held_out: frozenset[str] = frozenset()) -> tuple[Living, ...]:
    """Read from a log what can be predicted of fish, plants and the water level."""
    found: list[Living] = []
    weighed = {w.name: w for w in setting.weighings}
    crops = {q.planting or str(e.uuid): q for e in (*setting.earlier, *setting.entries) if (q := _as(e, "planted"))}
    tops = 0
    for e in setting.entries:
        p: Any = e.payload
        day, _ = setting.moment(e.at)
        if str(e.uuid) in held_out or day <= 0:
            continue
        if e.kind == "fish_weighed":
            w = weighed[f"weighed:{e.uuid}"]
            found.append(Living(e, "weighed", Look(day, "fish_weight", None, p.group), p.weight_g, 1.0, w.spread))
        elif e.kind == "picked" and p.grams and p.planting in crops:
            found.append(_picked(e, day, p, crops[p.planting]))
        elif e.kind == "topped_up":
            tops += 1
            if tops > 1:  # before the first one the habit is not known
                sd = facts.value("fit.topup_spread")
                found.append(Living(e, "topped_up", Look(day, "missing_m3"), p.litres, 1000.0, sd))
        elif e.kind == "fish_died":
            found.append(Living(e, "died", Look(day, "appetite"), limit=POISONED_APPETITE))
        elif e.kind == "observation" and p.what == SEEN_NOT_EATING:
            found.append(Living(e, "refused", Look(day, "appetite"), limit=HELD_APPETITE))
    return tuple(found)


def _as(entry: LogEntry, kind: str) -> Any:
    return entry.payload if entry.kind == kind else None


def _picked(e: LogEntry, day: int, p: Any, planted: Any) -> Living:
    part = 1.0 if p.count is None else min(p.count / planted.count, 1.0)
    share = part if p.finished else crop_of(planted.crop).cut_share
    fresh = share * facts.choice("plant.shoot_share") / facts.crops()[planted.crop].dry_matter_fraction
    return Living(
        e, "picked", Look(day, "plant_mass", None, p.planting), p.grams, fresh, facts.value("fit.picked_spread")
    )
