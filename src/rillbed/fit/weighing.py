"""Weigh-ins: a sample of a group, so neither forgotten nor believed to the gram."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import FishIn, FishWeighed

BETWEEN_FISH = facts.value("fit.between_fish")
SCALE = facts.value("fit.scale_spread")
DRIFT = facts.value("fit.growth_drift")
LEAST_DAYS = 1.0


@dataclass(frozen=True)
class Weighing:
    """One weigh-in: mean weight, ln-sd of it as a measurement, and the share of its news that is believed."""

    name: str
    day: int
    label: str
    weight_g: float
    sd: float
    drift: float

    @property
    def share(self) -> float:
        """Share of the way to the weighed weight: the growth law's own error against that of the weigh-in."""
        return self.drift**2 / (self.drift**2 + self.sd**2)

    @property
    def spread(self) -> float:
        """ln-sd of what is weighed about what a member expects."""
        return float(np.hypot(self.sd, self.drift))


def weighings_of(
    entries: Iterable[LogEntry], moment: Callable[[datetime], tuple[int, float]], known: Mapping[str, int]
) -> tuple[Weighing, ...]:
    """List the weigh-ins of a log; `moment` gives day and hour, `known` the day groups of before were known on."""
    result = []
    since: dict[str, int] = dict(known)
    for e in entries:
        p = e.payload
        day, _ = moment(e.at)
        if isinstance(p, FishIn):
            since[p.group or str(e.uuid)] = day
        elif isinstance(p, FishWeighed):
            sd = float(np.hypot(SCALE, BETWEEN_FISH / np.sqrt(p.count)))
            gap = max(day - since.get(p.group, day), LEAST_DAYS)
            drift = DRIFT * np.sqrt(gap / 30.0)
            result.append(Weighing(f"weighed:{e.uuid}", day, p.group, p.weight_g, sd, float(drift)))
            since[p.group] = day
    return tuple(result)
