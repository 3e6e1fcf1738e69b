"""Entries that have not happened act on their day as if they had been logged then."""

from datetime import UTC, date, datetime

import numpy as np
import pytest

from rillbed import engine
from rillbed.garden.files import parse_system
from rillbed.garden.log import LogEntry

START, ON = date(2026, 1, 1), date(2026, 2, 1)
LOOP = parse_system("""
name = "Loop"
latitude_deg = 48
place = "indoors"
started_on = 2026-01-01
startup_path = "running"
seeding = "mature"
heater_set_c = 26
feed = "pellet_36"
tanks = [{ name = "Tank", volume_l = 2000 }]
beds = [{ name = "Gravel", kind = "media", area_m2 = 2, depth_cm = 30, medium = "volcanic_gravel" }]
""")


def entry(day, kind, payload, number=0):
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    name = f"00000000-0000-4000-8000-{number:012d}"
    return LogEntry.make({"uuid": name, "at": at, "author": "you", "kind": kind, "payload": payload})


STOCKED = entry(date(2026, 1, 2), "fish_in", {"species": "nile_tilapia", "count": 20, "weight": "30 g", "group": "t"})


def run(log=(STOCKED,), on=ON, **future):
    return engine.forecast(LOOP, log, on=on, horizon_days=60, members=8, seed=3, future=engine.Future(**future))


def test_fish_that_are_planned_come_on_their_day_and_not_before():
    more = entry(date(2026, 2, 20), "fish_in", {"species": "nile_tilapia", "count": 5, "weight": "10 g"}, 1)
    plain, changed = run(), run(planned=(more,))
    day = changed.index(date(2026, 2, 20))
    np.testing.assert_array_equal(plain.columns["no3_mg_l"][:day], changed.columns["no3_mg_l"][:day])
    assert (changed.columns["fish_count"][day] == 25).all()
    assert (changed.columns["no3_mg_l"][-1] > plain.columns["no3_mg_l"][-1]).all()


def test_what_was_planned_for_a_day_that_is_over_does_nothing():
    late = entry(date(2026, 1, 20), "fish_in", {"species": "nile_tilapia", "count": 5, "weight": "10 g"}, 1)
    np.testing.assert_array_equal(run().columns["no3_mg_l"], run(planned=(late,)).columns["no3_mg_l"])


def test_a_planned_entry_gives_the_same_run_as_the_logged_one_once_its_day_has_come():
    drop = entry(date(2026, 2, 1), "fish_out", {"group": "t", "count": 10}, 1)
    before = run(on=date(2026, 1, 31), planned=(drop,))
    after = run(log=(STOCKED, drop), on=date(2026, 1, 31))  # not yet read: its day is after the forecast's
    assert (before.at("fish_count", date(2026, 2, 1)) == 10).all()
    assert (after.at("fish_count", date(2026, 2, 1)) == 20).all()


def test_a_changed_loop_holds_from_its_day():
    warm = LOOP.model_copy(update={"heater_set_c": 30.0})
    changed = run(planned=(entry(date(2026, 2, 10), "set_up", {"system": warm.model_dump(mode="json")}, 1),))
    assert changed.quantile("temp_c", 0.5)[changed.index(date(2026, 2, 9))] == pytest.approx(26, abs=0.1)
    assert changed.quantile("temp_c", 0.5)[-1] == pytest.approx(30, abs=0.1)


@pytest.mark.parametrize("fixed", [None, 20.0])
def test_a_pause_cuts_the_ration_on_its_days_only(fixed):
    pause = engine.Pause(date(2026, 2, 10), date(2026, 2, 12), 0.25)
    plain, changed = run(feed_g_day=fixed), run(feed_g_day=fixed, pauses=(pause,))
    feed = changed.columns["feed_g_day"][:, 0] / plain.columns["feed_g_day"][:, 0].clip(1e-9)
    first = changed.index(date(2026, 2, 10))
    assert feed[first] == pytest.approx(0.25, rel=1e-3)
    assert feed[first - 1] == 1.0
    assert feed[first + 3] == pytest.approx(1.0, abs=0.1)
