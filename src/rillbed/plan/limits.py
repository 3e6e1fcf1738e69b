"""The lines above which fish are not fed: the general published one and the species' own, whichever is stricter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rillbed import facts, units
from rillbed.facts.records import Species
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import latest
from rillbed.plan.rules import Interval

QUANTITIES = ("tan", "no2")
# Rows of the table of water limits for fish of any kind. Many species rows stand on memory alone, so these stand
# beside every one of them and a species can only make them stricter.
GENERAL = {"tan": "tan_loop", "no2": "no2_warm_fish", "oxygen": "oxygen_act"}


@dataclass(frozen=True)
class Limit:
    """Highest concentration at which fish are fed, mg N/L: for all fish, and for these."""

    general_mg_l: float
    own_mg_l: float

    @property
    def strict_mg_l(self) -> float:
        """The stricter of both."""
        return min(self.general_mg_l, self.own_mg_l)

    def broken_by(self, seen: Interval) -> bool:
        """Whether the worst value a reading allows is over the limit.

        A species can be more sensitive than the lowest step of a kit can show. A reading at that step is held against
        the general line; see `unresolved_by`.
        """
        if seen.worst_high > self.general_mg_l:
            return True
        return seen.worst_high > self.own_mg_l and seen.worst_low > 0.0

    def unresolved_by(self, seen: Interval) -> bool:
        """Whether the reading is at the kit's lowest step and that step reaches over the species' own limit."""
        return not self.broken_by(seen) and seen.worst_high > self.own_mg_l


def limit_for(quantity: str, species: Iterable[str]) -> Limit:
    """Limit of ``tan`` or ``no2`` for some kinds of fish.

    Raises
    ------
    ValueError
        If no species is given.
    """
    rows = _rows(species)
    general = facts.water_limits()[GENERAL[quantity]].high
    assert general is not None
    if quantity == "tan":
        return Limit(general, min(row.tan_max_mg_l for row in rows))
    # The species table counts the ion.
    return Limit(general, min(units.convert_basis(row.nitrite_max_mg_l, "NO2", "N") for row in rows))


def oxygen_needed_mg_l(species: Iterable[str]) -> float:
    """Oxygen at dawn under which a warning is due, mg/L: the general line or the species' own, whichever is higher."""
    general = facts.water_limits()[GENERAL["oxygen"]].high
    assert general is not None
    return max(general, *(row.do_min_mg_l for row in _rows(species)))


def over_limit(system: System, log: Sequence[LogEntry], species: Iterable[str]) -> frozenset[str]:
    """Quantities of ammonia and nitrite whose last reading allows a value over the limit of these fish."""
    kinds = sorted(set(species))
    if not kinds:
        return frozenset()
    seen = {quantity: latest(system, log, quantity) for quantity in QUANTITIES}
    return frozenset(
        quantity for quantity, item in seen.items() if item is not None and limit_for(quantity, kinds).broken_by(item)
    )


def _rows(species: Iterable[str]) -> list[Species]:
    rows = [facts.species()[name] for name in species]
    if not rows:
        raise ValueError("species: at least one must be given")
    return rows
