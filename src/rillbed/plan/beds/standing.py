"""What grows already: the places it takes, the pickings still to come, and seedlings that wait in trays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.garden.state import LoopState
from rillbed.plan.beds.answers import Batch, Picking
from rillbed.plan.beds.behaviour import picking_days, servings_a_picking

Floats = NDArray[np.float64]
WEEK = 7
# Seedlings kept longer than this beyond their time are not counted on.
TRAY_GRACE_DAYS = 28


@dataclass(frozen=True)
class Standing:
    """Places taken by bed and week, area that falls free by week, m2; its batches; seedlings ready by crop and week."""

    area_m2: dict[str, Floats]
    ends_m2: Floats
    batches: tuple[Batch, ...]
    seedlings: dict[str, Floats]
    tray_places: Floats


def standing(state: LoopState, on: date, weeks: int, own: Mapping[str, float]) -> Standing:
    """Read what grows from the log; a planting stands until the table's last picking, one overdue goes this week.

    `own` is the factor on the table's yield from the grower's own pickings.
    """
    system = state.system
    area = {bed.name: np.zeros(weeks) for bed in system.beds}
    ends, places = np.zeros(weeks), np.zeros(weeks)
    batches = []
    for planting in state.plantings.values():
        if not planting.standing or planting.bed not in area:
            continue
        crop = facts.crops()[planting.crop]
        since = system.day_of(planting.planted_at)
        until = since + timedelta(days=picking_days(crop)[-1])
        last = max(0, min(weeks - 1, (until - on).days // WEEK))
        size = planting.count / crop.spacing_default_plants_m2
        area[planting.bed][: last + 1] += size
        if (until - on).days < WEEK * weeks:
            ends[last] += size
        alive = planting.count * facts.value("beds.survives") * own.get(planting.crop, 1.0)
        # However many are overdue, plants give one picking today.
        due = sorted({max(since + timedelta(days=day), on) for day in picking_days(crop)[planting.pickings :]} or {on})
        servings = alive * servings_a_picking(crop)
        grams = alive * crop.yield_g_fresh_per_plant_per_harvest
        picks = tuple(Picking(day, servings, grams) for day in due if (day - on).days < WEEK * weeks)
        batches.append(
            Batch(planting.crop, planting.bed, planting.count, size, None, 0, "standing", since, max(until, on), picks)
        )
    seedlings: dict[str, Floats] = {}
    for tray in state.trays.values():
        crop = facts.crops()[tray.crop]
        ready = (system.day_of(tray.planted_at) - on).days + crop.nursery_days
        if not tray.standing or ready < -TRAY_GRACE_DAYS or ready >= WEEK * weeks:
            continue
        week = max(0, -(-ready // WEEK))
        share = 1.0 if tray.stage == "seedling" else facts.value("beds.germinates")
        at = seedlings.setdefault(tray.crop, np.zeros(weeks))
        at[min(week, weeks - 1) :] += np.floor(tray.count * share)
        places[: week + 1] += tray.count
    return Standing(area, ends, tuple(batches), seedlings, places)
