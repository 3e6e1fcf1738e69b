"""How a crop behaves once planted: when it is picked, what it yields in this air and light, and what it takes up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import plants
from rillbed.engine.calendar import monthly
from rillbed.engine.climate import climate_of
from rillbed.engine.cropping import crop_of as grown_as
from rillbed.facts.living import Crop
from rillbed.garden.system import System

Floats = NDArray[np.float64]
PARAMS = ("n_lux", "n_crit", "dm_gain")


@dataclass(frozen=True)
class Course:
    """One plant of a crop set out on several days, each course over the same days.

    Attributes
    ----------
    uptake_g : mapping of element to (starts, days, members)
        Daily take-up of one plant where nothing is short, g; members are one for a middling plant.
    growth : (starts,)
        Dry mass at the end against that of full light and warmth, in the middling member.
    """

    uptake_g: Mapping[str, Floats]
    growth: Floats


def picking_days(crop: Crop) -> tuple[int, ...]:
    """Days after planting on which a plant is picked; the last is the end of its stand.

    Notes
    -----
    The table's harvests at its interval, counted back from the end of the stand.
    """
    many = max(1, crop.harvests_default_n)
    gap = crop.regrowth_interval_d or 0.0
    last = crop.days_in_bed_default
    return tuple(max(1, round(last - (many - 1 - i) * gap)) for i in range(many))


def servings_a_picking(crop: Crop) -> float:
    """Give the servings of one plant at one picking; 0 where nothing of it is eaten."""
    return crop.servings_per_plant_per_harvest or 0.0


def least_plants(crop: Crop) -> int:
    """Plants of the smallest batch worth the work: a picking of it gives a serving."""
    each = servings_a_picking(crop)
    return max(1, int(np.ceil(facts.value("beds.least_servings") / each - 1e-9))) if each > 0.0 else 1


def sown(crop: Crop, plants_out: int) -> int:
    """Seeds for so many plants set out: germination only, for what dies later is counted at the picking."""
    return int(np.ceil(plants_out / facts.value("beds.germinates") - 1e-9))


def keeps_weeks(crop: Crop) -> int:
    """Weeks a crop keeps once picked, by practice."""
    return int(facts.value(f"beds.keeps_{crop.crop_class}"))


def course(
    system: System,
    crop: Crop,
    starts: Sequence[date],
    params: Mapping[str, Floats],
    elements: Sequence[str],
    *,
    light_share: float = 1.0,
) -> Course:
    """Grow one plant from each start with nothing short, as the model itself grows it.

    Parameters
    ----------
    starts : sequence of date
        Days of planting.
    params : mapping of (members,)
        Parameters of the members: those of plants.
    elements : sequence of str
        Elements whose take-up is wanted: n, p, k, ca, mg, fe.
    light_share : float
        Part of the light that reaches the bed.
    """
    climate, kind = climate_of(system), grown_as(crop.id)
    members = len(params["dm_gain"])
    shape = (len(starts), members)
    stand = plants.Planting(kind, crop.id, 1.0, 0, np.full(shape, kind.start_g), plants.nothing(*shape))
    plants.full(stand, params)
    days = max(1, round(kind.days))
    taken = {element: np.zeros((len(starts), days, members)) for element in elements}
    for day in range(days):
        when = [start + timedelta(days=day) for start in starts]
        air = np.array([monthly(climate.air_c, d) for d in when])[:, None]
        light = light_share * np.array([monthly(climate.light_mol, d) for d in when])[:, None]
        gain = plants.potential(stand, air, light, params["dm_gain"])
        for element in elements:
            ask = plants.demand(stand, element, gain, params)
            taken[element][:, day] = ask
            stand.held[plants.HELD[element]] += ask
        stand.mass = stand.mass + gain
    full = crop.total_dm_growth_g_m2_d_mean * crop.days_in_bed_default / kind.plants_per_m2
    return Course(taken, np.minimum(1.0, np.median(stand.mass, axis=1) / full))
