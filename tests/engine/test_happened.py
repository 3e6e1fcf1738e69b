"""Entries that change what the loop is: outages, equipment, a new set-up, another feed."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from rillbed import engine, facts
from rillbed.engine.future import Future
from rillbed.engine.happened import stillness
from rillbed.engine.inputs import Event, Feed
from rillbed.engine.meals import blend
from rillbed.garden.log import LogEntry
from rillbed.garden.system import SourceWater, System, Tank

START = date(2025, 4, 1)
WATER = SourceWater(alkalinity_meq_l=2.0, no3_n_mg_l=0.0)


@pytest.fixture(autouse=True)
def _tolerant(monkeypatch):
    """Add a fish that eats whatever the nitrite, and two feeds far apart."""
    fish = replace(facts.species()["nile_tilapia"], nitrite_max_mg_l=20.0)
    pellet = facts.feeds()["pellet_32"]
    feeds = {"lean": replace(pellet, protein_pct=25.0), "rich": replace(pellet, protein_pct=45.0)}
    monkeypatch.setattr(facts, "species", lambda: {"fish": fish})
    monkeypatch.setattr(facts, "feeds", lambda: feeds)


def system(volume_l=1000, **more):
    plain = {"latitude_deg": 40.0, "place": "indoors", "source_water": WATER, "water_temp_c": (24.0,) * 12,
             "startup_path": "running", "feed": "lean", "aeration": "strong",
             "beds": ({"name": "grow", "kind": "media", "area_m2": 2.0},)}  # fmt: skip
    return System(name="t", tanks=(Tank(name="tank", volume_l=volume_l),), started_on=START, **(plain | more))


def entry(number, day, kind, payload, hour=9):
    at = datetime(2025, 4, 1, tzinfo=UTC) + timedelta(days=day, hours=hour)
    return LogEntry(uuid=UUID(int=number), at=at, recorded_at=at, kind=kind, payload=payload)


def stocked():
    payload = {"species": "fish", "count": 20, "weight": {"value": 50, "unit": "g"}, "group": "g"}
    return entry(1, 0, "fish_in", payload)


def run(log=(), base=None, **how):
    how = {"on": START + timedelta(days=10), "horizon_days": 5, "members": 10, "future": Future(), "seed": 1} | how
    return engine.forecast(base or system(), [stocked(), *log], **how)


def day_of(f, name, day):
    return f.columns[name][day]


def test_a_power_cut_takes_the_oxygen_and_it_comes_back():
    until = datetime(2025, 4, 7, 2, tzinfo=UTC).isoformat()
    cut = run([entry(5, 5, "outage", {"until": until}, hour=20)])
    plain = run()
    assert (day_of(cut, "o2_min_mg_l", 5) < day_of(plain, "o2_min_mg_l", 5) - 0.3).all()
    assert (day_of(cut, "tan_mg_l", 5) > day_of(plain, "tan_mg_l", 5)).all()
    np.testing.assert_allclose(day_of(cut, "o2_mg_l", 8), day_of(plain, "o2_mg_l", 8), rtol=0.02)
    np.testing.assert_array_equal(day_of(cut, "tan_mg_l", 4), day_of(plain, "tan_mg_l", 4))
    assert "every balance closed" in cut.stop


def test_a_pump_that_stands_leaves_the_fish_their_own_tank():
    filled = ({"name": "grow", "kind": "media", "area_m2": 2.0, "water_depth_cm": 50, "water_fraction": 1.0},)
    log = [entry(5, 5, "equipment_stopped", {"equipment": "pump"}), entry(6, 5, "equipment_started",
                                                                         {"equipment": "pump"}, hour=21)]  # fmt: skip
    alone, shared = system(), system(beds=filled)  # the bed holds as much water again
    drop = [day_of(run(base=b), "o2_min_mg_l", 5) - day_of(run(log, base=b), "o2_min_mg_l", 5) for b in (alone, shared)]
    assert (drop[1] > 0.05).all()
    assert (drop[1] > drop[0]).all()
    assert (day_of(run(log), "tan_mg_l", 5) > 1.5 * day_of(run(), "tan_mg_l", 5)).all()  # the filter got nothing


def test_what_never_started_again_stands_still_until_the_day_of_the_forecast():
    f = run([entry(5, 9, "equipment_stopped", {"equipment": "air"})])
    plain = run()
    assert (day_of(f, "o2_min_mg_l", 10) < day_of(plain, "o2_min_mg_l", 10) - 0.3).all()
    assert (day_of(f, "o2_min_mg_l", 12) > day_of(f, "o2_min_mg_l", 10)).all()


def test_a_night_is_split_at_midnight_where_the_loop_stands():
    there = system(time_zone="Australia/Perth")  # 8 h ahead
    since = datetime(2025, 4, 3, 12, tzinfo=UTC)
    on = START + timedelta(days=9)
    events = stillness(there, ("air_off",), since, since + timedelta(hours=7), START, on)
    assert [(e.day, e.values["from_h"], e.values["to_h"]) for e in events] == [(2, 20.0, 24.0), (3, 0.0, 3.0)]


def test_a_new_set_up_counts_from_its_day():
    bigger = system(2000)
    f = run([entry(5, 5, "set_up", {"system": bigger.model_dump(mode="json")})])
    assert day_of(f, "volume_m3", 4) == pytest.approx(1.0, rel=0.05)
    assert day_of(f, "volume_m3", 5) == pytest.approx(2.0, rel=0.05)
    np.testing.assert_array_equal(day_of(f, "tan_mg_l", 4), day_of(run(), "tan_mg_l", 4))
    half = day_of(f, "no3_mg_l", 5) / day_of(run(), "no3_mg_l", 5)
    np.testing.assert_allclose(half, 0.5, atol=0.12)
    assert "every balance closed" in f.stop
    smaller = run([entry(5, 5, "set_up", {"system": system(500).model_dump(mode="json")})])
    assert day_of(smaller, "volume_m3", 5) == pytest.approx(0.5, rel=0.05)
    assert "every balance closed" in smaller.stop


def test_a_change_redraws_no_member():
    f = run([entry(5, 5, "set_up", {"system": system(aeration="stones").model_dump(mode="json")})])
    more = run([entry(5, 5, "set_up", {"system": system(aeration="stones").model_dump(mode="json")})], members=20)
    np.testing.assert_array_equal(f.columns["tan_mg_l"], more.columns["tan_mg_l"][:, :10])
    assert (day_of(f, "o2_min_mg_l", 7) < day_of(run(), "o2_min_mg_l", 7)).all()


def test_another_feed_counts_from_its_day():
    f, plain = run([entry(5, 5, "feed_changed", {"feed": "rich"})]), run()
    np.testing.assert_array_equal(day_of(f, "n_feed", 4), day_of(plain, "n_feed", 4))
    np.testing.assert_allclose(day_of(f, "n_feed", 5) / day_of(plain, "n_feed", 5), 45 / 25, rtol=1e-5)


def test_a_meal_counts_with_the_feed_it_names_and_the_group_it_names():
    f = run([entry(5, 5, "feeding", {"feed": "rich", "amount": {"value": 10, "unit": "g"}, "group": "g"})])
    assert day_of(f, "n_feed", 5) == pytest.approx(10 * 0.45 * 0.16)
    assert day_of(f, "feed_g_day", 5) == pytest.approx(10.0)


def test_feed_without_fish_is_ammonia_to_come():
    meal = entry(5, 5, "feeding", {"feed": "rich", "amount": {"value": 10, "unit": "g"}})
    f = engine.forecast(system(), [meal], on=START + timedelta(days=10), members=5, horizon_days=2, future=Future())
    assert day_of(f, "n_dose", 5) == pytest.approx(10 * 0.45 * 0.16)
    assert (day_of(f, "solids_n_mg_l", 5) > 0.5).all()
    assert "every balance closed" in f.stop


def test_a_blend_brings_what_its_parts_bring():
    a = Feed(protein=0.3, content={"p": 10.0, "k": 9.0}, to_fish={"p": 0.3}, dissolved={"p": 0.2, "k": 0.8})
    b = Feed(protein=0.5, content={"p": 20.0}, to_fish={"p": 0.5}, dissolved={"p": 0.1})
    mix = blend([(a, 30.0), (b, 10.0)])
    assert mix.protein * 40 == pytest.approx(0.3 * 30 + 0.5 * 10)
    assert mix.content["p"] * mix.dissolved["p"] * 40 == pytest.approx(10 * 0.2 * 30 + 20 * 0.1 * 10)
    assert mix.content["p"] * mix.to_fish["p"] * 40 == pytest.approx(10 * 0.3 * 30 + 20 * 0.5 * 10)
    assert mix.content["k"] * mix.dissolved["k"] * 40 == pytest.approx(9 * 0.8 * 30)


def test_water_cools_by_its_time_constant_when_the_heater_stops(play):
    warm = {"temp_c": (14.0,) * 12, "heater_c": 24.0, "cools_h": 48.0}
    run = play(warm, 6, members=2, events=[Event(3, "heater", {"on": 0.0})])
    temp = run.columns["temp_c"][:, 0]
    np.testing.assert_allclose(temp[:3], 24.0)
    np.testing.assert_allclose(temp[3:], 14.0 + 10.0 * np.exp(-np.arange(1, 4) / 2.0), rtol=1e-5)


def test_dead_fish_nobody_found_leave_their_nitrogen(play):
    def end(left):
        events = [Event(0, "fish_in", {"count": 10, "weight_g": 100}, "f"),
                  Event(2, "fish_out", {"count": 10, "left": left})]  # fmt: skip
        return play({}, 4, members=3, events=events)

    found, lost = end(0.0), end(1.0)
    gained = (lost.columns["solids_n_mg_l"] - found.columns["solids_n_mg_l"])[2]
    assert gained == pytest.approx(1000 * 0.0245, rel=0.15)  # some has broken down by the evening
    assert lost.books.worst["n"].max() < 1e-10


def test_an_unknown_kind_of_event_is_refused(play):
    with pytest.raises(ValueError, match="kind: 'flood' is not a kind of event"):
        play({}, 1, members=1, events=[Event(0, "flood")])


def test_cleaning_a_bed_takes_its_bacteria_and_its_solids():
    two = ({"name": "grow", "kind": "media", "area_m2": 3.0}, {"name": "other", "kind": "media", "area_m2": 1.0})
    base, plain = system(beds=two), run(base=system(beds=two))
    bed, tank, screen = (
        run([entry(5, 5, "cleaned", {"what": what})], base=base) for what in ("grow", "tank", "screen")
    )

    def kept(f, name):
        return day_of(f, name, 5) / day_of(plain, name, 5)

    # three quarters of the beds, by all but the walls: 3/4 of 240 m2 over 245 m2
    assert kept(bed, "cap_a_g_m3_day") == pytest.approx(1.0 - 180.0 / 245.0, rel=0.15)
    assert kept(tank, "cap_a_g_m3_day") == pytest.approx(1.0 - 5.0 / 245.0, rel=0.01)
    np.testing.assert_allclose(kept(screen, "cap_a_g_m3_day"), 1.0, rtol=2e-3)  # a little less to live on
    assert (kept(bed, "solids_n_mg_l") < kept(screen, "solids_n_mg_l")).all()
    assert (kept(screen, "solids_n_mg_l") < 1.0).all()
    assert (day_of(bed, "n_solids_out", 5) > day_of(plain, "n_solids_out", 5)).all()
    assert "every balance closed" in bed.stop
