"""The lines above which fish are not fed: the general published one and the species' own, whichever is stricter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.arithmetic import N_MOLAR_G
from rillbed.plan.look import latest

# "Ammonia and nitrite toxic above 1 mg/L" for fish in general: FAO 589, section 7.3 (published). Some species rows
# are graded from memory, so this line stands beside every one of them and a species can only make it stricter.
GENERAL_MG_L = 1.0
# The same chapter: most fish want 4 to 5 mg/L of oxygen (published).
GENERAL_O2_MG_L = 4.0
NO2_MOLAR_G = 46.005
# The nitrite of both counts the ion.
NO2_N_SHARE = N_MOLAR_G / NO2_MOLAR_G


@dataclass(frozen=True)
class Limits:
    """Highest ammonia and nitrite the fish are fed at, mg N/L, and the lowest oxygen they need at dawn, mg/L."""

    tan_mg_l: float
    no2_mg_l: float
    o2_mg_l: float

    def of(self, quantity: str) -> float:
        """Limit of ``tan`` or ``no2``, mg N/L."""
        return {"tan": self.tan_mg_l, "no2": self.no2_mg_l}[quantity]


def limits_for(species: Iterable[str]) -> Limits:
    """Strictest limits of some kinds of fish.

    Raises
    ------
    ValueError
        If no species is given.
    """
    rows = [facts.species()[name] for name in species]
    if not rows:
        raise ValueError("species: at least one must be given")
    return Limits(
        tan_mg_l=min(GENERAL_MG_L, *(row.tan_max_mg_l for row in rows)),
        no2_mg_l=min(GENERAL_MG_L, *(row.nitrite_max_mg_l for row in rows)) * NO2_N_SHARE,
        o2_mg_l=max(GENERAL_O2_MG_L, *(row.do_min_mg_l for row in rows)),
    )


def over_limit(system: System, log: Sequence[LogEntry], species: Iterable[str]) -> frozenset[str]:
    """Quantities of ammonia and nitrite whose last reading allows a value over the limit of these fish."""
    kinds = sorted(set(species))
    if not kinds:
        return frozenset()
    allowed = limits_for(kinds)
    seen = {quantity: latest(system, log, quantity) for quantity in ("tan", "no2")}
    return frozenset(
        quantity for quantity, item in seen.items() if item is not None and item.worst_high > allowed.of(quantity)
    )
