"""Who the members of a run are: draws of one loop, or loops of their own stacked side by side."""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from rillbed import facts
from rillbed.engine import pack, priors
from rillbed.engine.defaults import spread
from rillbed.engine.inputs import Loop, Number, Water
from rillbed.engine.result import Array
from rillbed.garden.system import System

STRUCTURE = ("media", "meals", "feed")  # what the members of one run have in common


def spread_of(system: System, loop: Loop) -> dict[str, tuple[Number, Number]]:
    """Median and ln-sd of every parameter of one loop as it is set up."""
    return spread(system.seeding, system.aeration, loop.media, pack.capacity_g_m3_day(loop))


def drawn(system: System, seed: int, members: int, first: int = 0) -> tuple[Loop, dict[str, Array]]:
    """Draw members `first` to `first + members` of one loop; what it becomes moves medians, never the draw."""
    loop = pack.loop_of(system)
    return loop, priors.draw(spread_of(system, loop), seed, members, first)


def side_by_side(systems: Sequence[System], seed: int) -> tuple[Loop, dict[str, Array]]:
    """Stack loops of their own as the members of one run, each with its own draw.

    Raises
    ------
    ValueError
        For loops that differ in what all members of a run share: media beds or not, hours of the meals, the feed.
    """
    loops = [pack.loop_of(system) for system in systems]
    tables = [spread_of(system, loop) for system, loop in zip(systems, loops, strict=True)]

    def column(name: str, which: int) -> Array:
        return np.array([table[name][which] for table in tables])

    params = priors.draw({n: (column(n, 0), column(n, 1)) for n in tables[0]}, seed, len(systems))
    ripe = np.array([already_runs(system) for system in systems])
    params["cap_a0"] = np.where(ripe, running_capacity(params), params["cap_a0"])
    return stack(loops), params


def already_runs(system: System) -> bool:
    """Whether the loop was running when it was set up and nobody said what seeded it."""
    return system.startup_path == "running" and system.seeding == "none"


def running_capacity(params: dict[str, Array]) -> Array:
    """Capacity of a filter that runs already, g/m3/day."""
    return facts.choice("filter.running_share") * params["cap_max"]


def stack(loops: Sequence[Loop]) -> Loop:
    """Make one loop of many: every number becomes (members,), every monthly value one of those per month."""
    for name in STRUCTURE:
        if any(getattr(loop, name) != getattr(loops[0], name) for loop in loops):
            raise ValueError(f"{name}: members of one run must have the same")
    whole = {
        f.name: _column([getattr(loop, f.name) for loop in loops]) for f in fields(Loop) if f.name not in STRUCTURE
    }
    return replace(loops[0], **whole)


def _column(values: list[Any]) -> Any:
    if isinstance(values[0], tuple):
        return tuple(np.array(month) for month in zip(*values, strict=True))
    if isinstance(values[0], Water):
        ions = {e: np.array([w.ions[e] for w in values]) for e in values[0].ions}
        alk, no3, tan = (np.array([getattr(w, name) for w in values]) for name in ("alk", "no3", "tan"))
        return Water(alk=alk, no3=no3, ions=ions, tan=tan)
    if all(value is None for value in values):
        return None
    return np.array([-np.inf if value is None else value for value in values])  # no heater: one set to nothing
