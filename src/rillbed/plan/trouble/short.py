"""A case written by hand in two minutes: one table of plain data into a system, a log and what was seen.

Every key is listed in docs/check.md. Whatever is left out is not known; what has to be assumed stands in
`Case.assumed`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.trouble.rows import FIRST_DAY, Rows
from rillbed.plan.trouble.values import MOST_DAYS, kind_of, moment_of, number
from rillbed.tongue import tr

# Shorthand of [system] beside the fields of the system file.
SHORT = frozenset({
    "litres", "species", "count", "weight_g", "kg", "temp_c", "bed_m2", "bed", "bed_depth_m", "age_days", "source",
    "feed_g_day", "basis", "planned_count", "harvest_g", "beginner",
})  # fmt: skip
USUAL_FISH_G = 100.0
# Loops of which nobody said how old they are count as running for a year; `stage` is then not taken as known.
USUAL_AGE_DAYS = 365


@dataclass(frozen=True)
class Case:
    """A loop, its log, and the day to answer for; `assumed` names what the file left out and had to be filled in."""

    system: System
    entries: tuple[LogEntry, ...]
    on: date
    assumed: tuple[str, ...] = ()


def case_of(data: Mapping[str, Any]) -> Case:
    """Build a case from the data of one file.

    Raises
    ------
    GardenError
        Naming field, value and what is allowed.
    """
    for key in data:
        if key not in ("system", "log", "see", "on", "title"):
            raise GardenError(key, "given", tr("a case has system, log, see, on and title"))
    told = data.get("system", {})
    if not isinstance(told, dict):
        raise GardenError("system", told, tr("needs a table [system]"))
    logged, seen = (_tables(data, name) for name in ("log", "see"))
    days = [number(row["day"], "day", -MOST_DAYS, MOST_DAYS) for row in (*logged, *seen) if "day" in row]
    first = FIRST_DAY + timedelta(days=min([0.0, *days]) // 1)
    system, starters, assumed = _system(told, first)
    rows = Rows(system, str(told.get("basis", "")), tuple(_kinds(told)))
    if "count" in told or "kg" in told:
        rows.fish_at_start(told, starters)
    for tank in starters:
        rows.stock_tank(tank)
    for place, row in enumerate(logged):
        rows.log(row, f"log.{place}")
    on = _day(data.get("on"))
    if on is not None:
        rows.now = float((on - FIRST_DAY).days)
    for place, row in enumerate(seen):
        rows.see(row, f"see.{place}")
    _told_of_loop(told, rows)
    if on is None:
        on = max((system.day_of(entry.at) for entry in rows.entries if entry.kind != "fish_in"), default=FIRST_DAY)
    return Case(system, tuple(rows.entries), on, assumed)


def _day(on: object) -> date | None:
    """Day to answer for: a number counts from the first day."""
    if on is None or isinstance(on, date):
        return on
    if isinstance(on, int | float) and not isinstance(on, bool):
        return FIRST_DAY + timedelta(days=int(number(on, "on", -MOST_DAYS, MOST_DAYS)))
    found = moment_of(on)
    if found is None:
        raise GardenError("on", on, tr("needs a day number or a date such as 2031-05-22"))
    return found.date()


def _tables(data: Mapping[str, Any], name: str) -> Sequence[Mapping[str, Any]]:
    rows = data.get(name, [])
    if isinstance(rows, dict) and name == "see":
        # [see] with code = answer, the shortest form.
        return [{"code": code, "value": value} for code, value in rows.items()]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise GardenError(name, rows, tr("needs tables [[{name}]]").format(name=name))
    return rows


def _kinds(told: Mapping[str, Any]) -> list[str]:
    names = told.get("species", [])
    names = [names] if isinstance(names, str) else names
    if not isinstance(names, list):
        raise GardenError("system.species", names, tr("needs a name or a list of names"))
    return [kind_of(str(name), "system.species") for name in names if str(name) != "unknown"]


def _system(told: Mapping[str, Any], first: date) -> tuple[System, list[Mapping[str, Any]], tuple[str, ...]]:
    """Fill a system up from shorthand; the second part holds tanks that came with their fish."""
    full = {key: value for key, value in told.items() if key not in SHORT and key != "tanks"}
    assumed = []
    age = told.get("age_days")
    days = USUAL_AGE_DAYS if age is None else int(number(age, "system.age_days", 0.0, 36500.0))
    full.setdefault("name", "loop")
    full.setdefault("place", "outdoors")
    full.setdefault("latitude_deg", 0.0)
    full.setdefault("started_on", first - timedelta(days=days))
    full.setdefault("startup_path", "running")
    tanks, stocked = _tanks(told)
    if not tanks:
        raise GardenError("system.litres", "nothing", tr("it is required: litres of water in the loop"))
    full["tanks"] = tanks
    if "bed_m2" in told and "beds" not in full:
        kind = str(told.get("bed", "media"))
        bed = {"name": "beds", "kind": kind, "area_m2": number(told["bed_m2"], "system.bed_m2", 0.01, 1e5)}
        full["beds"] = [bed]
    if age is None and "started_on" not in told:
        assumed.append("age_days")
    kinds = _kinds(told)
    if kinds and "planned_fish" not in full:
        count = int(number(told.get("planned_count", 1), "system.planned_count", 1.0, 1e6))
        weight = number(told.get("harvest_g", USUAL_FISH_G), "system.harvest_g", 1.0, 5e4)
        full["planned_fish"] = [{"species": kind, "count": max(1, count), "weight_g": weight} for kind in kinds]
    if not kinds:
        assumed.append("species")
    if "temp_c" not in told and "heater_set_c" not in full and "water_temp_c" not in full:
        assumed.append("temp_c")
    if (started := moment_of(full["started_on"])) is not None:
        full["started_on"] = started.date()
    if not isinstance(full["started_on"], date):
        raise GardenError("system.started_on", full["started_on"], tr("needs a date such as 2031-05-22"))
    try:
        system = System.make(full)
    except GardenError as error:
        raise error.within("system") from None
    return system, stocked, tuple(assumed)


def _tanks(told: Mapping[str, Any]) -> tuple[list[dict[str, object]], list[Mapping[str, Any]]]:
    listed = told.get("tanks")
    if listed is None:
        litres = told.get("litres")
        if litres is None:
            return [], []
        return [{"name": "tank", "volume_l": number(litres, "system.litres", 1.0, 1e6)}], []
    if not isinstance(listed, list) or not all(isinstance(tank, dict) for tank in listed):
        raise GardenError("system.tanks", listed, tr("needs tables [[system.tanks]]"))
    out: list[dict[str, object]] = []
    stocked: list[Mapping[str, Any]] = []
    for place, tank in enumerate(listed):
        volume = tank.get("volume_l", tank.get("litres"))
        row = {"name": str(tank.get("name", f"tank {place + 1}")), "kind": tank.get("kind", "fish"),
               "volume_l": number(volume, f"system.tanks.{place}.litres", 1.0, 1e6)}  # fmt: skip
        out.append(row)
        if "species" in tank:
            stocked.append({**tank, "name": row["name"]})
    return out, stocked


def _told_of_loop(told: Mapping[str, Any], rows: Rows) -> None:
    """Facts of the loop itself that are answers to clues."""
    if "temp_c" in told and not any(entry.kind == "temperature" for entry in rows.entries):
        rows.log({"temp_c": told["temp_c"], "day": rows.last_day()}, "system")
    if "source" in told:
        rows.see({"code": "source", "value": told["source"]}, "system.source")
    if "feed_g_day" in told:
        rows.see({"code": "feed_g_day", "value": told["feed_g_day"]}, "system.feed_g_day")
    if "age_days" in told or "started_on" in told:
        age = (rows.system.day_of(rows.moment(rows.last_day())) - rows.system.started_on).days
        rows.see({"code": "stage", "value": "cycling" if age < 56 else "young" if age < 182 else "ripe"}, "system")
    if "planned_count" in told:
        rows.see({"code": "planned_count", "value": told["planned_count"]}, "system.planned_count")
        rows.see({"code": "harvest_g", "value": told.get("harvest_g", 500)}, "system.harvest_g")
