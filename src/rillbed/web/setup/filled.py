"""A filled form and the loop it stands for. Form names are the field names of the garden types, parted by dashes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from rillbed import facts
from rillbed.garden.errors import GardenError
from rillbed.garden.system import SourceWater
from rillbed.tongue import tr
from rillbed.web.setup.measures import as_typed, kept, number, whole
from rillbed.words.numbers import capital

Filled = Mapping[str, str]
Read = Callable[[str, Filled], Any]

LISTS = ("tanks", "beds", "kits", "planned_fish")
# What makes a row count: one of these is filled in. The rest of a row starts with a choice already made.
TELLING = {
    "tanks": ("name", "volume_l"),
    "beds": ("name", "area_m2"),
    "kits": ("name", "steps"),
    "planned_fish": ("count", "weight_g", "on"),
}
PLACE = ("latitude_deg", "longitude_deg", "elevation_m")
OUT = "out"  # pressed on a row to leave it out


def _text(name: str, filled: Filled) -> str | None:
    return filled.get(name, "").strip() or None


def _count(name: str, filled: Filled) -> int | None:
    return whole(name, filled[name]) if _text(name, filled) else None


def _number(name: str, filled: Filled) -> float | None:
    return number(name, filled[name]) if _text(name, filled) else None


def _pressed(name: str, filled: Filled) -> bool:
    return bool(filled.get(name))


def _day(name: str, filled: Filled) -> date | None:
    typed = _text(name, filled)
    try:
        return date.fromisoformat(typed) if typed else None
    except ValueError:
        raise GardenError(name, typed, tr("needs a date such as 2031-05-22")) from None


def _steps(name: str, filled: Filled) -> tuple[float, ...]:
    # Steps stand apart by blanks or semicolons; a comma inside a number is a decimal comma.
    parts = re.split(r"[;\s]+|,\s+", filled.get(name, "").strip())
    return tuple(number(name, part) for part in parts if part)


def _amount(measure: str) -> Read:
    return lambda name, filled: kept(name, measure, filled)


def _typed(of: str, measure: str) -> Read:
    return lambda name, filled: as_typed(name.rpartition("-")[0] + "-" + of, measure, filled)


LOOP: dict[str, Read] = {
    "name": _text,
    "latitude_deg": _number,
    "longitude_deg": _number,
    "elevation_m": _amount("length_m"),
    "time_zone": _text,
    "place": _text,
    "town": _text,
    "aeration": _text,
    "seeding": _text,
    "heater_set_c": _amount("temperature"),
    "feed": _text,
    "startup_path": _text,
    "started_on": _day,
    "meals_per_day": _count,
    "planned_feed_g_day": _amount("mass"),
}
ROWS: dict[str, dict[str, Read]] = {
    "tanks": {
        "name": _text,
        "volume_l": _amount("volume"),
        "kind": _text,
        "volume_typed": _typed("volume_l", "volume"),
    },
    "beds": {
        "name": _text,
        "kind": _text,
        "area_m2": _amount("area"),
        "medium": _text,
        "depth_cm": _amount("depth"),
        "water_depth_cm": _amount("depth"),
        "water_fraction": _number,
        "area_typed": _typed("area_m2", "area"),
    },
    "kits": {
        "name": _text,
        "quantity": _text,
        "kind": _text,
        "basis": _text,
        "unit": lambda name, filled: filled.get(name, "").strip(),
        "steps": _steps,
        "low_open": _pressed,
        "high_open": _pressed,
        "wait_minutes": _number,
    },
    "planned_fish": {"species": _text, "count": _count, "weight_g": _amount("mass"), "on": _day},
}
SOURCE_WATER: dict[str, Read] = dict.fromkeys(SourceWater.model_fields, _amount("mg_l")) | {
    "alkalinity_meq_l": _amount("alkalinity"),
    "ph": _number,
    "no3_n_mg_l": _amount("nitrate"),
    "p_mg_l": _amount("phosphate"),
    "so4_s_mg_l": _amount("sulfate"),
}
AMMONIA: dict[str, Read] = {
    "source": _text,
    "strength_pct": _number,
    "density_g_ml": _number,
    "stock_ml": _amount("liquid"),
    "stock_g": _amount("mass"),
}
MONTHS = tuple(f"water_temp_c-{month}" for month in range(12))


@dataclass
class Told:
    """What a filled form says: plain data for `System.make`, and what could not be read, by form name."""

    data: dict[str, Any] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)
    places: dict[str, list[int]] = field(default_factory=dict)  # rows of the form that count, by list


def rows(filled: Iterable[str], name: str) -> list[int]:
    """Return the numbers of the rows of a list in the form."""
    found = {match[1] for key in filled if (match := re.match(rf"{name}-(\d{{1,4}})-", key))}
    return sorted(map(int, found))


def told(filled: Filled, shelf: Iterable[str]) -> Told:
    """Read a form; what is empty is left out, so that the garden types say what is required."""
    out = Told()
    out.data = _read(out, LOOP, "", filled)
    for name in LISTS:
        out.places[name] = [n for n in rows(filled, name) if _counts(filled, name, n)]
        out.data[name] = [_read(out, ROWS[name], f"{name}-{n}-", filled) for n in out.places[name]]
    out.data["source_water"] = _read(out, SOURCE_WATER, "source_water-", filled)
    if _text("ammonia_source-source", filled):
        out.data["ammonia_source"] = _read(out, AMMONIA, "ammonia_source-", filled)
    if any(_text(month, filled) for month in MONTHS):
        out.data["water_temp_c"] = _months(out, filled)
    out.data["shelf"] = list(shelf)
    out.data = _place_of_town(out.data)
    return out


def _place_of_town(data: dict[str, Any]) -> dict[str, Any]:
    """Take place and height from the town where they are left empty."""
    town = facts.towns().get(data.get("town", ""))
    return data if town is None else {name: getattr(town, name) for name in PLACE} | data


def _counts(filled: Filled, name: str, n: int) -> bool:
    return not filled.get(f"{name}-{n}-{OUT}") and any(_text(f"{name}-{n}-{key}", filled) for key in TELLING[name])


def _read(out: Told, how: Mapping[str, Read], prefix: str, filled: Filled) -> dict[str, Any]:
    found = {}
    for name, read in how.items():
        try:
            value = read(prefix + name, filled)
        except GardenError as error:
            out.problems.setdefault(error.field, _sentence(error))
            continue
        if value is not None:
            found[name] = value
    return found


def _months(out: Told, filled: Filled) -> list[float]:
    # One unit for all twelve, beside January.
    unit = filled.get(f"{MONTHS[0]}:unit", "")
    found = []
    for name in MONTHS:
        try:
            value = kept(name, "temperature", {**filled, f"{name}:unit": unit})
        except GardenError as error:
            out.problems[name] = _sentence(error)
            continue
        if value is None:
            out.problems[name] = tr("All twelve months are needed, or none.")
        else:
            found.append(value)
    return found


def problem(error: GardenError, read: Told, filled: Filled) -> tuple[str, str]:
    """Return the form name of a refusal and its sentence; the name is empty if no field of the form is meant."""
    parts = error.field.split(".")
    name = parts[0]
    if name in LISTS and len(parts) > 1:
        if parts[1].isdigit():
            place = f"{name}-{read.places[name][int(parts[1])]}"
            return "-".join([place, *parts[2:3]]), _sentence(error)
        return _row_of(error, name, parts[1], read, filled), _sentence(error)
    if name in ("source_water", "ammonia_source", "water_temp_c"):
        return "-".join(parts[:2]), _sentence(error)
    if name in LOOP or name in LISTS:
        return name, _sentence(error)
    return "", error.line()


def _row_of(error: GardenError, name: str, key: str, read: Told, filled: Filled) -> str:
    fitting = [n for n in read.places[name] if filled.get(f"{name}-{n}-{key}", "").strip() == str(error.value)]
    return f"{name}-{(fitting or read.places[name])[-1]}-{key}"


def _sentence(error: GardenError) -> str:
    allowed = tr(error.allowed)
    return capital(allowed).rstrip(".") + "."
