"""Who lives in the water: kinds of fish, whether fry are among them, and which general limits speak for them."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts
from rillbed.garden.state import LoopState
from rillbed.garden.system import System

# Paths on which fish are in the water though the log never says which.
WITH_FISH = frozenset({"fish_in", "stocked", "running"})


@dataclass(frozen=True)
class Who:
    """Kinds of fish alive in the loop.

    `species` is empty where fish live there whose kind nobody wrote down: the strictest general limit speaks then.
    """

    fish: bool
    species: tuple[str, ...]
    fry: frozenset[str]
    plants: bool

    @property
    def general(self) -> tuple[str, ...]:
        """Suffixes of the general rows of the table of water limits that speak for these fish."""
        climates = {facts.species()[name].climate for name in self.species}
        groups = ("warm_fish",) if climates - {"cold"} or not climates else ()
        return (*groups, "cold_fish") if "cold" in climates or not climates else groups


def who(system: System, state: LoopState) -> Who:
    """Fish as logged; without any entry on fish those planned, and on a path with fish fish of an unknown kind."""
    alive = [group for group in state.groups.values() if group.count > 0]
    plants = bool(system.beds) or any(item.standing for item in state.plantings.values())
    if state.groups:
        fry = frozenset(group.species for group in alive if group.weight_g < facts.value("verdict.fry_below"))
        return Who(bool(alive), tuple(sorted({group.species for group in alive})), fry, plants)
    if system.startup_path in WITH_FISH:
        planned = {item.species for item in system.planned_fish}
        return Who(True, tuple(sorted(planned)), frozenset(), plants)
    return Who(False, (), frozenset(), plants)
