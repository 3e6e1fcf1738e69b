"""Loops nobody would think of: whatever is valid runs, keeps its books and stays a number."""

from datetime import date

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rillbed import engine, facts
from rillbed.engine.future import Arrival, Future, Sowing
from rillbed.garden.system import Bed, SourceWater, System, Tank

START = date(2025, 4, 1)
SIGNED = ("alkalinity_meq_l", "n_unexplained", "topup_l_day")


def some(*values):
    return st.sampled_from(values)


def keys(table):
    return st.sampled_from(sorted(table))


beds = st.builds(
    Bed, name=st.just("bed"), kind=some("media", "raft", "nft"), area_m2=st.floats(0.1, 100.0),
    water_depth_cm=some(None, 5, 30), depth_cm=some(None, 15, 40),
)  # fmt: skip
systems = st.builds(
    System, name=st.just("random"), latitude_deg=st.floats(-60.0, 65.0), longitude_deg=st.floats(-180.0, 180.0),
    elevation_m=st.floats(0.0, 3000.0), place=some("indoors", "greenhouse", "outdoors"), town=st.none(),
    tanks=st.builds(lambda v: (Tank(name="tank", volume_l=v),), st.floats(20.0, 30_000.0)),
    beds=st.one_of(st.just(()), st.builds(lambda bed: (bed,), beds)), aeration=some("stones", "cascade", "strong"),
    source_water=st.builds(SourceWater, alkalinity_meq_l=some(None, 0.0, 0.2, 8.0), ca_mg_l=some(None, 0.0, 150.0)),
    seeding=some("none", "pond", "mature"), heater_set_c=some(None, 26.0),
    feed=st.one_of(st.none(), keys(facts.feeds())),
    startup_path=some("fishless", "fish_in", "stocked", "running"), started_on=st.just(START),
    meals_per_day=st.integers(1, 6), water_temp_c=st.none(), ammonia_source=st.none(), planned_feed_g_day=st.none(),
)  # fmt: skip
arrivals = st.builds(Arrival, keys(facts.species()), st.integers(1, 200), st.floats(1.0, 1000.0), st.just(START))
sowings = st.builds(Sowing, keys(facts.crops()), st.integers(1, 300), st.just(START))
futures = st.builds(
    Future, refill_to_mg_l=some(None, 2.0), base_floor_meq_l=some(None, 0.8),
    base_form=some("bicarbonate", "carbonate", "hydroxide"), drain_l_day=some(0.0, 1.0),
    fish=st.one_of(st.just(()), st.builds(lambda a: (a,), arrivals)),
    plantings=st.one_of(st.just(()), st.builds(lambda s: (s,), sowings)),
    supplement_to_mg_l=some((), (("k", 20.0), ("fe", 1.0))),
)  # fmt: skip


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(system=systems, future=futures)
def test_any_valid_loop_runs_90_days_and_closes_its_books(system, future):
    f = engine.forecast(system, (), on=START, horizon_days=90, members=4, future=future)
    assert f.stop == "reached the horizon of 90 days with every balance closed"
    for name, value in f.columns.items():
        assert np.isfinite(value).all(), name
        assert name in SIGNED or value.min() > -1e-6, name
