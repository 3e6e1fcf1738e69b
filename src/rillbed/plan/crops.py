"""One plant's daily take-up over its life, from the crop table, and which crop suits the season."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.facts.living import Crop

Floats = NDArray[np.float64]

# Room plans with the content leafy crops need, not with what they would take in luxury.
K_SHARE_ROOM = facts.value("plants.room_k_pct") / 100.0
# A crop's fastest day over its mean day, and the growth of a young plant.
PEAK_OVER_MEAN = facts.value("plant.canopy_over_mean")
RELATIVE_GROWTH_PER_DAY = facts.value("plan.relative_growth")
SEASON_SLACK_C = facts.value("plan.season_slack")
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


def dry_gain_g_day(crop: Crop) -> Floats:
    """Dry matter one plant gains each day of its life, g; shape (days, 1).

    The expolinear course, scaled so that it ends at the table's total.
    """
    days = life_days(crop)
    total = crop.total_dm_growth_g_m2_d_mean * days
    peak = PEAK_OVER_MEAN * crop.total_dm_growth_g_m2_d_mean
    rate = RELATIVE_GROWTH_PER_DAY
    lost = days - np.log(np.expm1(rate * total / peak)) / rate
    mass = peak / rate * np.log1p(np.exp(rate * (np.arange(days + 1.0) - lost)))
    # What the seedling brings does not come out of the water.
    return np.asarray(np.diff(mass)[:, None] / crop.spacing_default_plants_m2)


def take_up_g_day(crop: Crop, element: str) -> Floats:
    """Take-up of one plant each day, g; shape (days, 1).

    Parameters
    ----------
    element : str
        n, p, k, ca, mg or fe.
    """
    gain: Floats = dry_gain_g_day(crop)
    if element == "n":
        # The table's own total, spread along the course of growth.
        per_plant: float = crop.n_uptake_g_m2_per_crop / crop.spacing_default_plants_m2
        return np.asarray(gain / gain.sum() * per_plant)
    if element == "k":
        return gain * min(K_SHARE_ROOM, crop.k_pct_dm / 100.0)
    if element == "fe":
        return gain * crop.fe_mg_kg_dm * 1e-6
    share: float = {"p": crop.p_pct_dm, "ca": crop.ca_pct_dm, "mg": crop.mg_pct_dm}[element] / 100.0
    return gain * share


def in_season(crop: Crop, temp_c: float) -> bool:
    """Whether the crop's comfortable air temperatures include this one."""
    return bool(crop.air_t_opt_low_c - SEASON_SLACK_C <= temp_c <= crop.air_t_opt_high_c + SEASON_SLACK_C)


def best_in_season(temp_c: float) -> str:
    """Easiest small crop at this temperature."""
    return easiest_in_season(temp_c, 1)[0]


def easiest_in_season(temp_c: float, many: int) -> tuple[str, ...]:
    """Easiest small crops at this temperature, by beginner rank, then nutrient demand, then comfort; one of a group."""
    demand = {"low": 0, "medium": 1}
    small = {key: crop for key, crop in facts.crops().items() if crop.crop_group in GROUPS}
    fitting = {key: crop for key, crop in small.items() if in_season(crop, temp_c)} or small
    middle = {key: abs((c.air_t_opt_low_c + c.air_t_opt_high_c) / 2 - temp_c) for key, c in fitting.items()}
    order = sorted(
        fitting,
        key=lambda key: (
            fitting[key].beginner_rank_1easy_5hard,
            demand.get(fitting[key].nutrient_demand, 2),
            middle[key],
            key,
        ),
    )
    first_of_group = {fitting[key].crop_group: key for key in reversed(order)}
    chosen = [key for key in order if first_of_group[fitting[key].crop_group] == key]
    return tuple([*chosen, *(key for key in order if key not in chosen)][:many])
