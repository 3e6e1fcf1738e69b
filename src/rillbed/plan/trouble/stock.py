"""How many fish fit: density of the kind, and what the beds can take of the feed they will eat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rillbed import facts
from rillbed.facts import trouble
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.verdict.who import Who


@dataclass(frozen=True)
class Room:
    """Fish of harvest size a loop carries, and what binds first.

    `by_density` and `by_feed` are counts; `binding` names the lower; `feed_g_day` is what the fish asked for eat near
    harvest, `beds_take_g_day` what the beds take by the feed-rate rule, `more_bed_m2` the area that is missing.
    """

    species: str
    asked: int
    by_density: int
    by_feed: int | None
    binding: str
    feed_g_day: float
    beds_take_g_day: float | None
    more_bed_m2: float
    density_kg_m3: float

    @property
    def most(self) -> int:
        """Fish that fit by the hard limit; where only the feed is too much, harvest in stages holds it."""
        return self.by_density

    @property
    def first(self) -> int:
        """How many go in first."""
        return max(1, int(min(self.most, self.asked) * facts.value("trouble.first_share")))


def room(system: System, lives: Who, numbers: Mapping[str, float]) -> Room | None:
    """Reckon the room for the fish that are planned; ``None`` where no number is planned.

    Notes
    -----
    Density: ``density_home_max_kg_m3`` of the kind over the water of the fish tanks. Feed: the ration of the species
    table at harvest size against the leafy band of the feed-rate rule over the area of the beds.
    """
    asked = numbers.get("planned_count")
    if asked is None or not lives.species:
        return None
    name = lives.species[0]
    row = facts.species()[name]
    grams = numbers.get("harvest_g", float(row.harvest_weight_g or 500.0))
    density = row.density_home_max_kg_m3
    by_density = int(1000.0 * density * system.fish_tank_volume_m3 / grams)
    ration = grams * (row.feed_pctbwd_at_topt_500g or facts.value("trouble.ration_pct")) / 100.0
    area = system.bed_area_m2
    band = facts.value("trouble.feed_rule")
    take = band * area if area > 0.0 else None
    by_feed = None if take is None else int(take / ration)
    feed = asked * ration
    more = 0.0 if take is None else max(0.0, min(asked, by_density) * ration / band - area)
    binding = "feed" if by_feed is not None and by_feed < by_density else "density"
    if asked > by_density:
        binding = "density"
    return Room(name, int(asked), by_density, by_feed, binding, feed, take, more, asked * grams / 1000.0 /
                system.fish_tank_volume_m3)  # fmt: skip


def signs(system: System, state: LoopState, numbers: Mapping[str, float], lives: Who) -> dict[str, tuple[float, ...]]:
    """Clues of stock: crowding of the fish there are, the plan, and the ration."""
    out: dict[str, str] = {}
    planned = room(system, lives, numbers)
    if planned is not None:
        out["plan"] = "too_many" if planned.asked > planned.by_density else "fits"
    groups = [group for group in state.groups.values() if group.count > 0]
    if groups and system.fish_tank_volume_m3 > 0.0 and planned is None:
        kg_m3 = max(_densities(system, state))
        limit = min(facts.species()[group.species].density_home_max_kg_m3 for group in groups)
        out["crowding"] = "dense" if kg_m3 > limit else "light" if kg_m3 < 0.4 * limit else "usual"
    feed = numbers.get("feed_g_day")
    if feed is not None and system.bed_area_m2 > 0.0:
        per_m2 = feed / system.bed_area_m2
        low, high = facts.value("trouble.feed_poor"), facts.value("trouble.feed_rich")
        out["ration"] = "poor" if per_m2 < low else "rich" if per_m2 > high else "usual"
    table = trouble.clues()
    return {code: tuple(1.0 if a == answer else 0.0 for a in table[code].answers) for code, answer in out.items()}


def _densities(system: System, state: LoopState) -> list[float]:
    """Mass of fish by water of the tank their group is named after, else of all fish tanks, kg/m3."""
    tanks = {tank.name: tank.volume_l / 1000.0 for tank in system.tanks if tank.kind == "fish"}
    whole = [group for group in state.groups.values() if group.name not in tanks and group.count > 0]
    out = [sum(group.biomass_g for group in whole) / 1000.0 / system.fish_tank_volume_m3]
    for group in state.groups.values():
        if group.name in tanks and group.count > 0:
            out.append(group.biomass_g / 1000.0 / tanks[group.name])
    return out
