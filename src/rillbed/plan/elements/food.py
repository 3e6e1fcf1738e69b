"""Food safety: what to mind when something is planted or picked from water in which fish live."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from rillbed import facts
from rillbed.facts.living import Crop
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spray
from rillbed.garden.system import System
from rillbed.plan.look import doses, until

# Grown wet in open ponds these can carry flukes, where snails or mammals have access.
WATER_PLANTS = ("watercress", "water_spinach", "taro")
SPRAY_DAYS = facts.value("plants.spray_days")
ORGANIC_DAYS = facts.value("plants.organic_days")


def at_planting(system: System, crop: str) -> tuple[str, ...]:
    """Cautions for a planting, codes.

    Raises
    ------
    ValueError
        For a crop that is not in the table.
    """
    row = _row(crop)
    found = ["food.no_wet_leaves", "food.no_warm_blooded_manure"]
    if row.crop_group in ("root", "bulb"):
        found.append("food.roots_peel_or_cook")
    if crop in WATER_PLANTS and system.place == "outdoors":
        found.append("food.flukes")
    if system.place == "outdoors":
        found.append("food.keep_animals_out")
    return tuple(found)


def at_picking(system: System, entries: Sequence[LogEntry], crop: str, on: date) -> tuple[str, ...]:
    """Cautions for a picking, codes, those that hold it up first.

    Raises
    ------
    ValueError
        For a crop that is not in the table.
    """
    row = _row(crop)
    log = until(system, entries, on)
    found = []
    sprays = [e for e in log if isinstance(e.payload, Spray) and on - system.day_of(e.at) <= timedelta(days=SPRAY_DAYS)]
    if sprays:
        found.append("food.sprayed")
    table = facts.supplements()
    organic = [
        day
        for day, item in doses(system, log)
        if (known := table.get(item.substance)) is not None and known.organic and (on - day).days <= ORGANIC_DAYS
    ]
    if organic:
        found.append("food.organic_dose")
    found += ["food.hands_and_knife", "food.rinse_and_chill"]
    if row.crop_group in ("root", "bulb"):
        found.append("food.roots_peel_or_cook")
    elif row.crop_class == "leafy" or row.crop_group in ("asian_green", "herb_warm", "herb_cool"):
        found.append("food.weak_people_cook")
    if crop in WATER_PLANTS and system.place == "outdoors":
        found.append("food.flukes")
    return tuple(found)


def _row(crop: str) -> Crop:
    try:
        return facts.crops()[crop]
    except KeyError:
        raise ValueError(f"crop = {crop!r}: not in the crop table") from None
