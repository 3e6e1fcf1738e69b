"""What a log can move, as one list of standard normal numbers per member: parameters, slow paths and nuisances.

Every quantity is a known function of its normal number, so a member is a point, its prior is the same round cloud in
every direction, and moving a member never has to know what its numbers mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine import pack, priors
from rillbed.engine.defaults import spread
from rillbed.engine.inputs import Loop
from rillbed.engine.members import already_runs, running_capacity
from rillbed.engine.result import Array
from rillbed.garden.system import System

PATHS = ("xi_source", "xi_sink", "xi_nitrif")
KNOT_DAYS = 30.0
KEPT = facts.value("fit.path_month")
SEASON_C = facts.value("fit.season_spread")


def table_of(system: System) -> tuple[Loop, dict[str, tuple[Array | float, Array | float]]]:
    """Give a loop with median and ln-sd of its parameters, without those of the slow paths."""
    loop = pack.loop_of(system)
    table = spread(system.seeding, system.aeration, loop.media, pack.capacity_g_m3_day(loop))
    return loop, {name: row for name, row in table.items() if name not in PATHS}


def knots(days: int) -> int:
    """Knots a path needs to reach day `days`."""
    return int(days // KNOT_DAYS) + 2


@dataclass(frozen=True)
class Coordinates:
    """The names of a member's numbers, in order; arrays of them are (len(names), members)."""

    names: tuple[str, ...]

    @classmethod
    def of(cls, system: System, days: int, nuisances: Iterable[str] = ()) -> Coordinates:
        """List the parameters of a loop, its paths up to day `days`, and the nuisances of its log."""
        _, table = table_of(system)
        moving = [name for name, (_, sd) in table.items() if np.any(np.asarray(sd) > 0.0)]
        paths = [f"{path}.{k}" for path in PATHS for k in range(knots(days))]
        return cls((*moving, *paths, *nuisances))

    def place(self, name: str) -> int:
        """Row of a name."""
        return self.names.index(name)

    def draw(self, seed: int, members: int, first: int = 0, stream: str = "") -> Array:
        """Draw standard normal numbers of members `first` to `first + members`; a row depends on its name alone."""
        return np.stack([priors.normals(seed, stream + name, members, first) for name in self.names])

    def prior(self, system: System, seed: int, members: int) -> Array:
        """Numbers of the very members the engine draws for this loop."""
        _, table = table_of(system)
        z = self.draw(seed, members)
        drawn = priors.draw({n: row for n, row in table.items()}, seed, members)
        for i, name in enumerate(self.names):
            if name in table:
                median, sd = table[name]
                z[i] = np.log(drawn[name] / median) / sd
        pair = facts.value("nitrifier.growth_correlation")
        a, n = self.place("mu_a"), self.place("mu_n")
        z[n] = (z[n] - pair * z[a]) / np.sqrt(1.0 - pair**2)
        return z

    def values(self, system: System, z: Array) -> tuple[Loop, dict[str, Array]]:
        """Give the loop as set up and each member's parameters in it: a change moves medians, never the member."""
        loop, table = table_of(system)
        where = {name: i for i, name in enumerate(self.names)}
        none = np.zeros(z.shape[1])
        pair = facts.value("nitrifier.growth_correlation")

        def normal(name: str) -> Array:
            if name == "mu_n":
                return np.asarray(pair * z[where["mu_a"]] + np.sqrt(1.0 - pair**2) * z[where["mu_n"]])
            return np.asarray(z[where[name]]) if name in where else none

        params = {n: np.asarray(median * np.exp(sd * normal(n))) for n, (median, sd) in table.items()}
        if already_runs(system):
            params["cap_a0"] = running_capacity(params)
        return loop, params

    def path(self, name: str, z: Array, days: int) -> Array:
        """Log-rate of a slow path at the middle of each day, (days, members): knots a month apart, lines between."""
        sd = facts.priors()[name].ln_sd
        count = knots(max(days - 1, 0))  # the middle of the last day is what is asked for
        known = [i for i, n in enumerate(self.names) if n.startswith(f"{name}.")]
        if count > len(known):
            raise ValueError(f"days: {days} is beyond the paths; allowed to {int((len(known) - 1) * KNOT_DAYS)}")
        level = [sd * z[known[0]]]
        for i in known[1:count]:
            level.append(KEPT * level[-1] + sd * np.sqrt(1.0 - KEPT**2) * z[i])
        at = (np.arange(days) + 0.5) / KNOT_DAYS
        low = np.minimum(at.astype(int), count - 2)
        share = (at - low)[:, None]
        stacked = np.stack(level)
        return np.asarray((1.0 - share) * stacked[low] + share * stacked[low + 1])


def possible(params: Mapping[str, Array]) -> Array:
    """Whether each member's bacteria can grow at all: what the engine's own draw allows, (members,) bool."""
    most = facts.value("nitrifier.decay_share_most")
    return np.asarray(params["decay"] <= most * np.minimum(params["mu_a"], params["mu_n"]))
