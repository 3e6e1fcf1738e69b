from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

START = date(2031, 4, 1)
ON = START + timedelta(days=20)
LEVELS = {
    "no3_mg_l": 10.0, "ph": 7.0, "alkalinity_meq_l": 1.5, "o2_mg_l": 7.0, "o2_min_mg_l": 6.0, "temp_c": 24.0,
    "volume_m3": 1.0, "k_mg_l": 40.0, "ca_mg_l": 60.0, "mg_mg_l": 15.0, "fe_mg_l": 1.5, "p_mg_l": 8.0, "co2_mg_l": 5.0,
    "feed_g_day": 20.0, "n_nitrified": 0.6, "n_gas": 0.1, "cap_a_g_m3_day": 1.0, "fish_weight_g": 50.0,
    "na_mg_l": 15.0, "cl_mg_l": 20.0, "s_mg_l": 8.0,
}  # fmt: skip


def log_entry(number, kind, payload, days):
    at = datetime(2031, 4, 1, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=days, minutes=number)
    return LogEntry.make({"uuid": UUID(int=number + 1), "at": at, "kind": kind, "payload": payload})


@pytest.fixture
def entry():
    """Log entry: number, kind, payload, days after the start."""
    return log_entry


@pytest.fixture
def read():
    """Reading: number, quantity, low, high, days after the start."""
    return reading


def reading(number, quantity, low, high, days, unit="mg/L"):
    payload = {"quantity": quantity, "unit": unit, "low": low, "high": high}
    payload |= {"basis": "n"} if quantity in ("no2", "no3", "tan", "p") else {}
    return log_entry(number, "reading", payload, days)


@pytest.fixture
def living():
    """Fish and a bed of lettuce since day 2."""
    fish = {"species": "nile_tilapia", "count": 9, "weight": {"value": 40, "unit": "g"}}
    plants = {"crop": "lettuce_cos", "count": 20, "bed": "bed"}
    return [log_entry(900, "fish_in", fish, 1), log_entry(901, "planted", plants, 2)]


@pytest.fixture
def system():
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 900}],
            "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}],
            "started_on": START,
        }
    )


@pytest.fixture
def made():
    """Forecast with constant columns; keywords replace a column by a number, a course or a full table."""

    def build(members=100, days=200, **columns):
        table = {}
        for name in COLUMNS:
            value = np.asarray(columns.get(name, LEVELS.get(name, 0.0)), dtype=np.float32)
            value = value[:, None] if value.ndim == 1 else value
            table[name] = np.broadcast_to(value, (days + 1, members))
        weights = np.full(members, 1.0 / members)
        return Forecast(START, ON, days, members, weights, table, np.full(members, np.nan), {}, "", {}, "made")

    return build


@pytest.fixture
def on():
    return ON
