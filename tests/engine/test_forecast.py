"""The door of the engine: a System and its log in, a Forecast out."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from rillbed import engine
from rillbed.engine.future import Future
from rillbed.engine.run import full_load_mg_l
from rillbed.garden.log import LogEntry
from rillbed.garden.system import Bed, SourceWater, System, Tank

START = date(2025, 4, 1)
SYSTEM = System(
    name="test loop", latitude_deg=40.0, place="indoors", tanks=(Tank(name="tank", volume_l=1000),),
    source_water=SourceWater(alkalinity_meq_l=2.0, no3_n_mg_l=0.0), water_temp_c=(24.0,) * 12, started_on=START,
)  # fmt: skip


def entry(number, day, kind, payload, **more):
    at = datetime(2025, 4, 1, 9, tzinfo=UTC) + timedelta(days=day)
    return LogEntry(uuid=UUID(int=number), at=at, recorded_at=at, kind=kind, payload=payload, **more)


LOG = [
    entry(1, 3, "temperature", {"value": 20.0}),
    entry(2, 6, "water_changed", {"volume": {"value": 300, "unit": "L"}}),
    entry(3, 8, "temperature", {"value": 26.0}),
]


def run(log=(), **how):
    return engine.forecast(SYSTEM, log, **({"on": START + timedelta(days=10), "horizon_days": 20, "members": 12} | how))


def same(a, b):
    return all(np.array_equal(a.columns[name], b.columns[name]) for name in a.columns)


def test_shape_days_and_stop_reason():
    f = run()
    assert set(f.columns) == set(engine.COLUMNS)
    assert all(v.shape == (31, 12) and v.dtype == np.float32 for v in f.columns.values())
    assert f.at("tan_mg_l", f.start + timedelta(days=30)).shape == (12,)
    assert "every balance closed" in f.stop
    assert f.quantile("tan_mg_l", 0.1)[15] <= f.quantile("tan_mg_l", 0.9)[15]
    with pytest.raises(ValueError, match="outside the forecast"):
        f.index(START - timedelta(days=1))


def test_the_same_question_has_the_same_answer_and_another_seed_another():
    assert same(run(LOG), run(LOG))
    assert not same(run(LOG), run(LOG, seed=4))


def test_the_log_acts_and_its_order_does_not():
    assert not same(run(), run(LOG))
    assert same(run(LOG), run(LOG[::-1]))
    assert run(LOG).at("temp_c", START + timedelta(days=8))[0] == pytest.approx(26.0, abs=0.2)


def test_a_corrected_entry_equals_never_having_made_it():
    wrong = entry(9, 6, "water_changed", {"volume": {"value": 900, "unit": "L"}})
    right = entry(10, 6, "water_changed", {"volume": {"value": 300, "unit": "L"}}, supersedes=UUID(int=9))
    taken_back = entry(11, 6, "withdrawn", {}, supersedes=UUID(int=9))
    assert same(run([LOG[0], wrong, right, LOG[2]]), run(LOG))
    assert same(run([*LOG, wrong, taken_back]), run(LOG))


def test_more_members_or_a_longer_log_never_redraw_a_member():
    few, many = run(LOG), run(LOG, members=40)
    assert all(np.array_equal(few.columns[n], many.columns[n][:, :12]) for n in few.columns)
    assert np.array_equal(run().params["mu_a"], few.params["mu_a"])


def test_entries_after_the_day_are_not_seen():
    late = entry(5, 15, "temperature", {"value": 15.0})
    assert same(run([*LOG, late]), run(LOG))


def test_a_full_change_dilutes_what_was_dosed():
    on = START
    rule = Future(refill_to_mg_l=4.0)
    before = engine.forecast(SYSTEM, (), on=on, horizon_days=3, members=5, future=rule)
    assert before.at("tan_mg_l", START).mean() == pytest.approx(4.0, rel=0.05)
    assert before.columns["n_dose"][0] == pytest.approx(4.0)  # g in 1 m3


@pytest.mark.parametrize(
    ("how", "message"),
    [
        ({"on": START - timedelta(days=1)}, "on: 2025-03-31 is before"),
        ({"members": 0}, "members: 0 is too few"),
        ({"horizon_days": -1}, "horizon_days: -1 is not possible"),
    ],
)
def test_impossible_questions_are_refused(how, message):
    with pytest.raises(ValueError, match=message):
        run(**how)


def test_a_start_is_certified_for_the_planned_feed():
    def load(grams):
        return full_load_mg_l(SYSTEM.model_copy(update={"planned_feed_g_day": grams, "feed": "pellet_32"}))

    assert load(None) == 2.0
    # g in one cubic metre, and 0.25 that may be left: what is gone in a day is no less than the load
    assert load(50.0) == pytest.approx(50.0 * 0.32 * 0.092 + 0.25)
    assert load(500.0) == 4.0
    assert load(0.0) == 2.0
    bedded = SYSTEM.model_copy(update={"beds": (Bed(name="b", kind="media", area_m2=2.0),)})

    def half_done(grams):
        rule = Future(refill_to_mg_l=2.0, full_load_mg_l=load(grams), base_floor_meq_l=1.0)
        f = engine.forecast(bedded, (), on=START, horizon_days=120, members=40, future=rule)
        return np.median(np.nan_to_num(f.completion, nan=999.0))

    assert half_done(20.0) < half_done(130.0) < 120.0
