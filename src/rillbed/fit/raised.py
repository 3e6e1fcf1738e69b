"""What fish and plants weigh some time after they were last known: grown from there, and less surely the longer ago."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import fish as fishes
from rillbed.engine import pack, plants
from rillbed.engine.calendar import monthly
from rillbed.engine.cropping import crop_of
from rillbed.engine.inputs import Loop, Number
from rillbed.engine.result import Array
from rillbed.fit.weighing import BETWEEN_FISH, DRIFT, SCALE
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import FishWeighed
from rillbed.garden.state import FishGroup
from rillbed.garden.system import System
from rillbed.science import heat

ARRIVED = facts.value("fit.arrival_spread")
STOOD_SHARE = facts.value("fit.stood_share")
STOOD = facts.value("fit.stood_spread")
LONGEST = 400  # days of a planting's growth that are followed; older ones have long closed their canopy
CUBE = 3.0  # weight goes with the cube of what grows evenly


def grown_g(
    group: FishGroup,
    groups: Sequence[FishGroup],
    fed: Mapping[date, float],
    loop: Loop,
    table: Mapping[str, tuple[Array | float, Array | float]],
    begin: date,
    system: System,
    entries: Sequence[LogEntry],
) -> tuple[float, float]:
    """Weight of one fish at the beginning of day `begin`, g, and its ln-spread.

    Grown from the last weighing, or from arrival, on what was fed, or on the full ration where nothing was written.
    The spread is that of the weighing, of the growth law for so long, and of its constant.
    """
    kind = pack.fish_of(group.species)
    median = {name: np.asarray(table[name][0]) for name in ("tgc_factor", "fcr_factor")}
    first = system.day_of(group.weighed_at)
    fish = fishes.Group(kind, group.name, float(group.count), np.array([group.weight_g]))
    share = group.biomass_g / max(sum(g.biomass_g for g in groups), 1e-9)
    day = first
    while day < begin:
        able = fishes.able(fish, np.asarray(_warm(loop, day)), median)
        gain = np.minimum(able.gain, share * fed[day] / fish.count / able.fcr) if day in fed else able.gain
        fish.weight = fish.weight + gain
        day += timedelta(days=1)
    sizes = [
        e.payload.count for e in entries if isinstance(e.payload, FishWeighed) and e.payload.group == group.name
    ]  # fmt: skip
    weighed = float(np.hypot(SCALE, BETWEEN_FISH / np.sqrt(sizes[-1]))) if sizes and group.weighings else ARRIVED
    grams = float(fish.weight[0])
    grew = CUBE * (1.0 - (group.weight_g / grams) ** (1.0 / CUBE)) * float(np.max(table["tgc_factor"][1]))
    law = DRIFT * np.sqrt((begin - first).days / 30.0)
    return grams, float(np.sqrt(weighed**2 + law**2 + grew**2))


def planted_g(
    crop: str, count: float, since: date, cuts: Sequence[date], begin: date, loop: Loop
) -> tuple[float, float]:
    """Dry mass of a planting at the beginning of day `begin`, g, and its ln-spread: a usual share of the most.

    What ran short before the window is not known, so the spread is wide.
    """
    c = crop_of(crop)
    bed = plants.Planting(c, "", count, 0, np.array([count * c.start_g]), plants.nothing(1))
    day = max(since, begin - timedelta(days=LONGEST))
    while day < begin:
        if day in cuts:
            bed.mass = bed.mass * (1.0 - c.cut_share)
        bed.mass = bed.mass + plants.potential(bed, monthly(loop.air_c, day), monthly(loop.light_mol, day), np.ones(1))
        day += timedelta(days=1)
    return STOOD_SHARE * float(bed.mass[0]), STOOD


def _warm(loop: Loop, day: date) -> Number:
    season = monthly(loop.temp_c, day)
    return season if loop.heater_c is None else heat.heated_c(season, loop.heater_c)
