"""Published start-ups against what the model expects of such a loop before any reading."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np

from rillbed import engine, facts
from rillbed.engine.result import Array
from rillbed.garden.system import System
from validation.check import Check
from validation.loops import START, indoors

DAYS = 180
DEFAULTS = {
    "seeding": "none", "aeration": "strong", "medium": "volcanic_gravel", "feed_g": 20, "tank_l": 1000, "area_m2": 1.0,
}  # fmt: skip
MEMBERS = 300
FILTER = """
aeration = "{aeration}"
seeding = "{seeding}"
startup_path = "{path}"
feed = "pellet_40"
planned_feed_g_day = {feed_g}
tanks = [{{ name = "Tank", volume_l = {tank_l} }}]
beds = [{{ name = "Filter", kind = "media", medium = "{medium}", area_m2 = {area_m2}, depth_cm = 30 }}]
source_water = {{ alkalinity_meq_l = 2.5, ph = 7.8, ca_mg_l = 50, mg_mg_l = 8, cl_mg_l = 20, no3_n_mg_l = 0 }}
"""


def load() -> list[dict[str, Any]]:
    """Read the published start-ups."""
    rows: list[dict[str, Any]] = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))["start"]
    return rows


def loop_of(row: dict[str, Any]) -> System:
    """Give a loop like the one described."""
    given = DEFAULTS | {k: v for k, v in row.items() if k in DEFAULTS}
    path = "fish_in" if "fish" in row else "fishless"
    return indoors("Published start-up", row["temp_c"], FILTER.format(path=path, **given))


def run(row: dict[str, Any]) -> engine.Forecast:
    """Run a loop like the one described, refilled by rule or stocked from the first day, nothing read."""
    system = loop_of(row)
    fish = row.get("fish")
    future = engine.Future(
        refill_to_mg_l=None if fish else row.get("dose_mg_l", 2.0), full_load_mg_l=row.get("dose_mg_l", 2.0),
        base_floor_meq_l=1.0, base_target_meq_l=2.0,
        fish=(engine.Arrival(fish["species"], fish["count"], fish["weight_g"], START),) if fish else (),
        feed_g_day=row.get("fed_g_day"),
    )  # fmt: skip
    return engine.forecast(system, [], on=START, horizon_days=DAYS, members=MEMBERS, seed=1, future=future)


def seen(made: engine.Forecast) -> dict[str, Array]:
    """Give what papers print of a start-up, for every member."""
    tan, no2 = made.columns["tan_mg_l"], made.columns["no2_mg_l"]
    return {
        "completion, day": made.completion,
        "ammonia peak, day": tan.argmax(axis=0),
        "nitrite peak, day": no2.argmax(axis=0),
        "nitrite peak after ammonia peak, days": no2.argmax(axis=0) - tan.argmax(axis=0),
        "both low again, day": _low_again(tan, no2),
        "ammonia at the end, mg/L as N": tan[-1],
        "nitrite at the end, mg/L as N": no2[-1],
    }


def _low_again(tan: np.ndarray, no2: np.ndarray) -> Array:
    """First day after the nitrite peak on which both count as gone, nan where that does not come, (members,)."""
    mark, day = facts.value("start.clear_below"), np.arange(len(tan))[:, None]
    low = (tan < mark) & (no2 < mark) & (day > no2.argmax(axis=0))
    return np.where(low.any(axis=0), low.argmax(axis=0), np.nan)


def checks() -> list[Check]:
    """Hold every printed window against its run."""
    found = []
    for row in load():
        got = seen(run(row))
        for name, window in row["printed"].items():
            what, unit = name.split(", ")
            members = np.asarray(got[name], dtype=float)
            about, note = (row["source"], row.get("blind", True)), row.get("note", "")
            found.append(Check(row["id"], f"{row['what']}: {what}", unit, tuple(window), members, *about, note))
    return found
