"""One plant's daily take-up over its life, from the crop table, and which crop suits the season."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine.calendar import monthly
from rillbed.engine.climate import climate_of
from rillbed.engine.cropping import crop_of as grown_as
from rillbed.facts.living import Crop
from rillbed.garden.system import System
from rillbed.plan.beds.site import grows_in
from rillbed.science import uptake

Floats = NDArray[np.float64]

# Room plans with the content leafy crops need, not with what they would take in luxury.
K_SHARE_ROOM = facts.value("plants.room_k_pct") / 100.0
# In nitrate-rich water a crop holds more than its dilution curve asks for, most of it while young.
N_LUXURY = facts.value("plant.n_luxury")
SHOOT_SHARE = facts.value("plant.shoot_share")
G_M2_PER_T_HA = 100.0
SEASON_SLACK_C = facts.value("plan.season_slack")
# Days of air ahead that choose a crop.
SEASON_DAYS = 28
# What stands closer is sown in tufts and not counted as plants.
SINGLE_PLANTS_M2 = 50.0
GROUPS = ("leafy_western", "leafy_warm", "asian_green", "herb_warm", "herb_cool")


def crop_of(crop_id: str) -> Crop:
    """Row of the crop table.

    Raises
    ------
    ValueError
        If the crop is unknown.
    """
    try:
        return facts.crops()[crop_id]
    except KeyError:
        raise ValueError(f"crop = {crop_id!r}: not in the crop table") from None


def life_days(crop: Crop) -> int:
    """Days from planting to the end of the stand."""
    return max(1, round(crop.days_in_bed_default))


def stand_g_m2(crop: Crop) -> Floats:
    """Dry mass on one square metre from planting to the end of the stand, g/m2; shape (days + 1, 1).

    The engine's own course at its best light and warmth, which ends at the table's total.
    """
    grown = grown_as(crop.id)
    days = np.arange(life_days(crop) + 1.0)
    start = grown.start_g * grown.plants_per_m2
    return np.asarray(uptake.grown_g_m2(start, grown.canopy_g_m2_day, grown.relative_per_day, days))[:, None]


def dry_gain_g_day(crop: Crop) -> Floats:
    """Dry matter one plant gains each day of its life, g; shape (days, 1)."""
    # What the seedling brings does not come out of the water.
    return np.asarray(np.diff(stand_g_m2(crop), axis=0) / crop.spacing_default_plants_m2)


def take_up_g_day(crop: Crop, element: str) -> Floats:
    """Take-up of one plant each day, g; shape (days, 1).

    Parameters
    ----------
    element : str
        n, p, k, ca, mg or fe.
    """
    gain: Floats = dry_gain_g_day(crop)
    if element == "n":
        return _nitrogen_g_day(crop, gain)
    if element == "k":
        return gain * min(K_SHARE_ROOM, crop.k_pct_dm / 100.0)
    if element == "fe":
        return gain * crop.fe_mg_kg_dm * 1e-6
    share: float = {"p": crop.p_pct_dm, "ca": crop.ca_pct_dm, "mg": crop.mg_pct_dm}[element] / 100.0
    return gain * share


def _nitrogen_g_day(crop: Crop, gain: Floats) -> Floats:
    curve = grown_as(crop.id).n_curve
    if curve is None:
        # The table's own total, spread along the course of growth.
        per_plant: float = crop.n_uptake_g_m2_per_crop / crop.spacing_default_plants_m2
        return np.asarray(gain / gain.sum() * per_plant)
    stand = stand_g_m2(crop)
    pct = N_LUXURY * uptake.critical_n_pct(SHOOT_SHARE * stand / G_M2_PER_T_HA, *curve)
    return np.asarray(np.diff(stand * pct / 100.0, axis=0) / crop.spacing_default_plants_m2)


def coming_air_c(system: System, on: date) -> float:
    """Mean air around the plants over the coming four weeks, degC, from the normals of the place."""
    air = climate_of(system).air_c
    return float(np.mean([monthly(air, on + timedelta(days=day)) for day in range(SEASON_DAYS)]))


def in_season(crop: Crop, air_c: float) -> bool:
    """Whether the crop is comfortable, or nearly so, at this mean air temperature."""
    return bool(crop.air_t_opt_low_c - SEASON_SLACK_C <= air_c <= crop.air_t_opt_high_c + SEASON_SLACK_C)


def bed_kinds(system: System) -> frozenset[str]:
    """Kinds of bed a loop has."""
    return frozenset(bed.kind for bed in system.beds)


def best_in_season(air_c: float, kinds: Iterable[str] = ()) -> str:
    """Easiest small crop at this mean air temperature that can stand in one of these kinds of bed."""
    return easiest_in_season(air_c, 1, kinds)[0]


def easiest_in_season(air_c: float, many: int, kinds: Iterable[str] = ()) -> tuple[str, ...]:
    """Easiest small crops at this air: by beginner rank, nutrient demand and days in the bed; one of a group first.

    Only crops that can stand in one of these kinds of bed; where none are named, any crop.
    """
    kinds = frozenset(kinds)
    demand = {"low": 0, "medium": 1}
    small = {
        key: crop
        for key, crop in facts.crops().items()
        if crop.crop_group in GROUPS and crop.spacing_default_plants_m2 <= SINGLE_PLANTS_M2 and grows_in(crop, kinds)
    }
    fitting = {key: crop for key, crop in small.items() if in_season(crop, air_c)} or small
    order = sorted(
        fitting,
        key=lambda key: (
            fitting[key].beginner_rank_1easy_5hard,
            demand.get(fitting[key].nutrient_demand, 2),
            fitting[key].days_in_bed_default,
            key,
        ),
    )
    first_of_group = {fitting[key].crop_group: key for key in reversed(order)}
    chosen = [key for key in order if first_of_group[fitting[key].crop_group] == key]
    return tuple([*chosen, *(key for key in order if key not in chosen)][:many])
