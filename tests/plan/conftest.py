from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.garden.system import System

START = date(2031, 4, 1)
LEVELS = {
    "no3_mg_l": 10.0, "ph": 7.2, "alkalinity_meq_l": 1.5, "o2_mg_l": 7.0, "o2_min_mg_l": 6.0, "temp_c": 24.0,
    "volume_m3": 1.0, "k_mg_l": 40.0, "ca_mg_l": 60.0, "mg_mg_l": 15.0, "fe_mg_l": 1.5, "p_mg_l": 8.0,
    "feed_g_day": 20.0, "n_nitrified": 0.6, "n_gas": 0.1, "cap_a_g_m3_day": 1.0, "fish_weight_g": 50.0,
}  # fmt: skip


@pytest.fixture
def system():
    """A made-up small loop: one tank, one bed."""
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 900}],
            "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}],
            "ammonia_source": {"source": "ammonium_chloride"},
            "started_on": START,
        }
    )


@pytest.fixture
def made():
    """Forecast with constant columns; keywords replace a column by a number, a course or a full table."""

    def build(members=100, days=200, completion=None, **columns):
        table = {}
        for name in COLUMNS:
            value = np.asarray(columns.get(name, LEVELS.get(name, 0.0)), dtype=np.float32)
            value = value[:, None] if value.ndim == 1 else value
            table[name] = np.broadcast_to(value, (days + 1, members))
        done = np.full(members, np.nan) if completion is None else np.asarray(completion, dtype=float)
        weights = np.full(members, 1.0 / members)
        on = START + timedelta(days=20)
        return Forecast(START, on, days, members, weights, table, done, {}, "reached the horizon", {}, "made")

    return build


@pytest.fixture
def on():
    return START + timedelta(days=20)
