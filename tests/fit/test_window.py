"""A log longer than a window is taken up where the window begins: at any age, from what the log before it tells."""

import random
from datetime import date, timedelta

import numpy as np
import pytest
from tests.fit.conftest import START, entry, loop, reading
from tests.fit.test_answers import FINE

from rillbed import facts, fit
from rillbed.engine.state import S
from rillbed.fit.setting import Setting
from rillbed.fit.window import LEAST_DAYS, STEP_DAYS, begin_of
from rillbed.plan import ahead

DAYS = 3650
ON = START + timedelta(days=DAYS)
SYSTEM = loop(kits=(FINE,))
BATCH, CROP = 240, 45


def group(day):
    return f"g{day // BATCH}"


def ten_years(days=DAYS):
    """Fish in batches, lettuce after lettuce, and a few tests, weighings and water changes a year."""
    log = []
    for d in range(0, days, BATCH):
        if d:
            log.append(entry(d, "fish_out", {"group": group(d - 1), "count": 12}, hour=8.0))
        weight = {"value": 60, "unit": "g"}
        log.append(entry(d, "fish_in", {"species": "nile_tilapia", "count": 12, "weight": weight, "group": group(d)}))
    for d in range(0, days, CROP):
        planting = f"p{d // CROP}"
        log.append(entry(d, "planted", {"crop": "lettuce_loose", "count": 20, "bed": "bed", "planting": planting}))
        if d + CROP <= days:
            log.append(entry(d + CROP, "picked", {"planting": planting, "finished": True}, hour=8.0))
    for d in range(50, days, 60):
        log.append(reading(d, "no3", 20, kit=FINE))
        total = {"value": 5 * (60 + 1.2 * (d % BATCH)), "unit": "g"}
        log.append(entry(d, "fish_weighed", {"group": group(d), "count": 5, "total": total}))
        log.append(entry(d + 1, "water_changed", {"volume": {"value": 200, "unit": "L"}}))
    return log


@pytest.fixture(scope="module")
def old():
    log = ten_years()
    posterior = ahead.fitted(SYSTEM, log, on=ON, members=60, budget="quick")
    return log, posterior, ahead.ahead(SYSTEM, log, on=ON, horizon_days=30, members=60, posterior=posterior)


def test_a_window_begins_at_the_start_until_a_log_is_older():
    assert begin_of(START, START) == begin_of(START, START + timedelta(days=LEAST_DAYS + STEP_DAYS - 1)) == START
    for days in (490, 491, 579, 580, 3650, 18250):
        on = START + timedelta(days=days)
        begin = begin_of(START, on)
        assert LEAST_DAYS <= (on - begin).days < LEAST_DAYS + STEP_DAYS
        assert (begin - START).days % STEP_DAYS == 0


def test_no_loop_is_older_than_fifty_years():
    with pytest.raises(ValueError, match="on: 2125-01-01 is too long after the loop's start; allowed to 2075"):
        begin_of(START, date(2125, 1, 1))


def test_ten_years_of_log_are_fitted_and_run_in_their_window(old):
    log, posterior, ran = old
    assert posterior.setting.start == ran.start == begin_of(START, ON)
    assert all(e.at.date() >= ran.start for e in posterior.setting.entries)
    assert len(posterior.setting.earlier) + len(posterior.setting.entries) == len(log)
    assert ran.stop == "reached the horizon of 30 days with every balance closed"
    assert all(np.isfinite(ran.columns[name]).all() for name in ran.columns)
    low, high = np.quantile(ran.at("no3_mg_l", ON), [0.1, 0.9])
    assert low < 20.0 < high
    weighed = np.quantile(ran.at("fish_weight_g", START + timedelta(days=3590)), 0.5)
    assert weighed == pytest.approx(60 + 1.2 * 230, rel=0.15)


def test_fish_and_plants_are_those_of_the_log_on_the_first_day(old):
    _, posterior, ran = old
    opening = posterior.setting.opening
    begun = (ran.start - START).days
    assert [s.name for s in opening.fish] == [group(begun - 1)]
    assert [s.name for s in opening.plants] == [f"p{(begun - 1) // CROP}"]
    expected = 60 + 1.2 * ((begun - 1) % BATCH)
    assert opening.fish[0].grams == pytest.approx(expected, rel=3 * opening.fish[0].spread)
    assert set(ran.at("fish_count", ran.start)) == {12.0}


def test_a_loop_with_fish_has_ripe_bacteria_whatever_it_was_set_up_as(old):
    _, posterior, ran = old
    assert posterior.setting.first.startup_path == "running"
    assert np.quantile(ran.at("tan_mg_l", ran.start + timedelta(days=5)), 0.9) < 1.0


def test_a_log_in_another_order_gives_the_same(old):
    log, posterior, _ = old
    mixed = random.Random(3).sample(log, len(log))
    again = ahead.fitted(SYSTEM, mixed, on=ON, members=60, budget="quick")
    assert again.digest == posterior.digest


def test_a_corrected_entry_of_long_ago_equals_one_never_made(old):
    log = old[0]
    wrong = entry(3000, "water_changed", {"volume": {"value": 900, "unit": "L"}})
    taken = entry(3001, "withdrawn", {}, supersedes=wrong.uuid)
    assert Setting.of(SYSTEM, [*log, wrong, taken], ON).opening == old[1].setting.opening
    assert Setting.of(SYSTEM, [*log, wrong], ON).opening != old[1].setting.opening


def test_a_fit_keeps_its_window_when_days_pass(old):
    log, posterior, _ = old
    later = ON + timedelta(days=STEP_DAYS)
    assert begin_of(START, later) != posterior.setting.start
    ran = fit.forecast(SYSTEM, log, on=later, horizon_days=5, members=20, posterior=posterior)
    assert ran.start == posterior.setting.start


def test_salts_gather_over_the_years_and_leave_with_changed_water():
    def salt(log):
        opening = Setting.of(SYSTEM, log, ON).opening
        return next(h.median for h in opening.water if h.row == S.NA)

    log = ten_years()
    never_changed = [e for e in log if e.kind != "water_changed"]
    assert facts.choice("source_water.na_mg_l") < salt(log) < salt(never_changed)
