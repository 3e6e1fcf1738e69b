"""Which fish stand in which tank, how much oxygen they use, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast, priors
from rillbed.facts.records import Fact
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.science.growth import resting_oxygen_mg_kg_h

Floats = NDArray[np.float64]
_GRID = 8
MG_PER_G, G_PER_KG = 1000.0, 1000.0


@dataclass(frozen=True)
class Shoal:
    """Fish of one kind in one tank; a share of a group where several tanks hold it, so the count need not be whole."""

    species: str
    count: float
    weight_g: float

    def __post_init__(self) -> None:
        if self.species not in facts.species():
            raise ValueError(f"species = {self.species!r}: must be one of {', '.join(sorted(facts.species()))}")
        if not (self.count > 0.0 and self.weight_g > 0.0):
            raise ValueError(f"shoal: count {self.count:g} and weight_g {self.weight_g:g} must be above 0")

    @property
    def biomass_g(self) -> float:
        """Mass of the fish, g."""
        return self.count * self.weight_g

    def use_g_h(self, temp_c: float, *, fed: bool) -> float:
        """Oxygen the fish use, g/h, at rest or after a meal."""
        row = facts.species()[self.species]
        rest = float(
            resting_oxygen_mg_kg_h(
                self.weight_g, temp_c, row.o2_rest_a_mg_kg_h, row.o2_rest_b_exponent, row.o2_ref_temp_c, row.o2_q10
            )
        )
        return rest * (row.o2_fed_factor if fed else 1.0) * self.biomass_g / G_PER_KG / MG_PER_G


@dataclass(frozen=True)
class Tank:
    """One vessel with its fish; ``surface_m2`` is open water."""

    name: str
    volume_l: float
    surface_m2: float
    shoals: tuple[Shoal, ...]

    def __post_init__(self) -> None:
        if not self.volume_l > 0.0 or self.surface_m2 < 0.0:
            raise ValueError(f"tank {self.name!r}: volume_l must be above 0 and surface_m2 not below 0")

    @property
    def biomass_g(self) -> float:
        """Mass of all fish in it, g."""
        return sum(shoal.biomass_g for shoal in self.shoals)

    def use_mg_l_h(self, temp_c: float, *, fed: bool) -> float:
        """Oxygen its fish use, mg per litre and hour; what else lives there comes on top."""
        return sum(shoal.use_g_h(temp_c, fed=fed) for shoal in self.shoals) * MG_PER_G / self.volume_l


@dataclass(frozen=True)
class Spread:
    """What is not known: factors on use and on the still surface's exchange, one per member."""

    weights: Floats
    use: Floats
    surface_m_day: Floats


def tanks_of(
    system: System, entries: Sequence[LogEntry], on: date, forecast: Forecast | None = None
) -> tuple[Tank, ...]:
    """Fish tanks of a loop on a day.

    A group named like a tank (or "tank: group") stands in it; all others are shared among the fish tanks by volume.
    Fish have grown since they were weighed: with a forecast by as much as its middle member.
    """
    state = state_at(system, entries, on)
    groups = [group for group in state.groups.values() if group.count > 0]
    grown = 1.0
    mass = sum(group.biomass_g for group in groups)
    if forecast is not None and mass > 0.0:
        middle = float(np.median(forecast.at("fish_biomass_g", on)))
        grown = max(1.0, middle / mass) if middle > 0.0 else 1.0
    vessels = [tank for tank in system.tanks if tank.kind == "fish"]
    total = sum(tank.volume_l for tank in vessels)
    names = {tank.name for tank in vessels}
    out = []
    for tank in vessels:
        shoals = []
        for group in groups:
            home = group.name.partition(":")[0].strip()
            share = (1.0 if home == tank.name else 0.0) if home in names else tank.volume_l / total
            if share > 0.0:
                shoals.append(Shoal(group.species, group.count * share, group.weight_g * grown))
        surface = tank.volume_l / 1000.0 / facts.choice("tank.depth_m")
        out.append(Tank(tank.name, tank.volume_l, surface, tuple(shoals)))
    return tuple(out)


def spread(forecast: Forecast | None = None) -> Spread:
    """Draw the unknowns: from the members' own breathing, else an even grid over the spreads of the tables."""
    share, still = facts.fact("aeration.bacteria_share"), facts.fact("aeration.still_surface")
    if forecast is not None:
        prior = facts.priors()["respiration"]
        breath = np.asarray(forecast.params["respiration"], dtype=float) / prior.median
        # The members know nothing of a still surface or of the fish's own tank: draws of their own, always the same.
        share_z, still_z = (priors.normals(0, f"outage.{name}", forecast.members) for name in ("bacteria", "surface"))
        weights = np.asarray(forecast.weights, dtype=float)
        return Spread(weights, breath * _around(share, share_z), _around(still, still_z))
    steps = np.array([NormalDist().inv_cdf((i + 0.5) / _GRID) for i in range(_GRID)])
    breath_z, share_z, still_z = (grid.ravel() for grid in np.meshgrid(steps, steps, steps))
    breath = np.exp(facts.value("aeration.breath_ln_sd") * breath_z)
    weights = np.full(_GRID**3, 1.0 / _GRID**3)
    return Spread(weights, breath * _around(share, share_z), _around(still, still_z))


def _around(fact: Fact, z: Floats) -> Floats:
    """Spread a figure log-normally so that its range holds eight in ten, cut at the range's ends."""
    assert isinstance(fact.value, float)
    assert fact.low is not None
    assert fact.high is not None
    sd = np.log(fact.high / fact.low) / (2.0 * NormalDist().inv_cdf(0.9))
    return np.asarray(np.clip(fact.value * np.exp(sd * z), fact.low, fact.high))
