"""The form of a loop that is there already."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rillbed import facts
from rillbed.garden.kits import Kit
from rillbed.garden.system import AmmoniaSource, Bed, PlannedFish, SourceWater, System, Tank
from rillbed.web.setup.filled import LISTS, LOOP, MONTHS, PLACE, SOURCE_WATER
from rillbed.web.setup.measures import plain, shown


def filled_from(system: System) -> dict[str, str]:
    """Return the form of a loop, so that reading it gives the same loop back."""
    out = {name: str(getattr(system, name) or "") for name in LOOP}
    out |= {name: plain(getattr(system, name)) for name in ("latitude_deg", "longitude_deg", "meals_per_day")}
    out |= shown("elevation_m", "length_m", system.elevation_m)
    town = facts.towns().get(system.town or "")
    if town is not None:
        # Left empty, so that another town brings its own place.
        out |= {name: "" for name in PLACE if getattr(system, name) == getattr(town, name)}
    out |= shown("heater_set_c", "temperature", system.heater_set_c)
    out |= shown("planned_feed_g_day", "mass", system.planned_feed_g_day)
    for n, month in enumerate(system.water_temp_c or ()):
        out |= shown(MONTHS[n], "temperature", month)
    for name in LISTS:
        for n, item in enumerate(getattr(system, name)):
            out |= {f"{name}-{n}-{key}": text for key, text in _ITEM[name](item).items()}
    out |= {f"source_water-{key}": text for key, text in _source_water(system.source_water).items()}
    if system.ammonia_source is not None:
        out |= {f"ammonia_source-{key}": text for key, text in _ammonia(system.ammonia_source).items()}
    return out


def _tank(tank: Tank) -> dict[str, str]:
    return {"name": tank.name, "kind": tank.kind, **shown("volume_l", "volume", tank.volume_l, tank.volume_typed)}


def _bed(bed: Bed) -> dict[str, str]:
    out = {"name": bed.name, "kind": bed.kind, "medium": bed.medium or "", "water_fraction": plain(bed.water_fraction)}
    out |= shown("area_m2", "area", bed.area_m2, bed.area_typed)
    return out | shown("depth_cm", "depth", bed.depth_cm) | shown("water_depth_cm", "depth", bed.water_depth_cm)


def _kit(kit: Kit) -> dict[str, str]:
    return {
        "name": kit.name,
        "quantity": kit.quantity,
        "kind": kit.kind,
        "basis": kit.basis or "",
        "unit": kit.unit,
        "steps": " ".join(plain(step) for step in kit.steps),
        "low_open": "1" if kit.low_open else "",
        "high_open": "1" if kit.high_open else "",
        "wait_minutes": plain(kit.wait_minutes),
    }


def _planned(fish: PlannedFish) -> dict[str, str]:
    out = {"species": fish.species, "count": plain(fish.count), "on": str(fish.on or "")}
    return out | shown("weight_g", "mass", fish.weight_g)


def _source_water(water: SourceWater) -> dict[str, str]:
    out: dict[str, str] = {"ph": plain(water.ph)}
    for name in SOURCE_WATER:
        if name != "ph":
            out |= shown(name, BASES.get(name, "mg_l"), getattr(water, name))
    return out


def _ammonia(given: AmmoniaSource) -> dict[str, str]:
    out = {"source": given.source, "strength_pct": plain(given.strength_pct), "density_g_ml": plain(given.density_g_ml)}
    return out | shown("stock_ml", "liquid", given.stock_ml) | shown("stock_g", "mass", given.stock_g)


BASES = {
    "alkalinity_meq_l": "alkalinity",
    "no3_n_mg_l": "nitrate",
    "p_mg_l": "phosphate",
    "so4_s_mg_l": "sulfate",
}
_ITEM: dict[str, Callable[[Any], dict[str, str]]] = {
    "tanks": _tank,
    "beds": _bed,
    "kits": _kit,
    "planned_fish": _planned,
}
