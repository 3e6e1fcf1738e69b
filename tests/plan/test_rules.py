from datetime import date

import numpy as np
import pytest

from rillbed.plan.rules import Interval, best_sowing, decide, stage, to_come_mg_l

ON = date(2031, 5, 20)


def read(low, high, ago=0):
    return Interval(low, high, date(2031, 5, 20 - ago))


def choose(tan, no2, **changes):
    asked = {"on": ON, "dosed_before": True, "to_come_mg_l": 0.0, "organic": False} | changes
    return decide(tan, no2, **asked)


@pytest.mark.parametrize(
    ("tan", "no2", "code"),
    [
        (read(0.1, 0.5), read(0.5, 2.0), "dose"),
        (read(0.25, 0.75), read(0.5, 2.0), "wait"),
        (read(0.0, 0.2), read(3.0, None), "hold"),
        (read(0.0, 0.2), read(3.0, 6.0), "hold"),
        (read(0.0, 0.2), read(0.0, 0.1), "prove"),
        (read(0.0, 0.2, ago=4), read(0.0, 0.1), "first_reading"),
        (None, read(0.0, 0.1), "first_reading"),
        (read(4.0, None), read(0.0, 0.1), "wait"),
    ],
)
def test_the_worst_value_of_the_interval_decides(tan, no2, code):
    assert choose(tan, no2) == code


def test_first_dose_needs_no_reading_and_an_organic_source_answers_to_its_ledger():
    assert choose(None, None, dosed_before=False) == "dose"
    tan, no2 = read(0.0, 0.4), read(0.5, 1.0)
    assert choose(tan, no2, organic=True, to_come_mg_l=4.0) == "ledger"
    assert choose(tan, no2, organic=True, to_come_mg_l=0.2) == "dose"
    assert choose(tan, no2, organic=False, to_come_mg_l=4.0) == "dose"


def test_no_reading_answers_for_two_doses():
    clear = (read(0.0, 0.2), read(0.0, 0.1))
    assert choose(*clear) == "prove"
    assert choose(*clear, unread=ON) == "dosed"
    assert choose(*clear, unread=date(2031, 5, 19)) == "first_reading"


def test_stages_follow_the_order_of_the_bacteria():
    dosed = {"dosed_before": True, "proven": False}
    assert stage(None, None, dosed_before=False, proven=False) == "new"
    assert stage(read(2, 3), read(0, 0.1), **dosed) == "ammonia"
    assert stage(read(0, 0.2), read(2, 4), **dosed) == "nitrite"
    assert stage(read(0, 0.2), read(0, 0.1), **dosed) == "proving"
    assert stage(read(0, 0.2), read(0, 0.1), dosed_before=True, proven=True) == "ready"


def test_sowing_day_has_the_highest_chance_of_all_days():
    rng = np.random.default_rng(5)
    days = rng.lognormal(np.log(45), 0.4, 300)
    days[:20] = np.nan
    offset, chance = best_sowing(days, np.ones(300), 120)
    every = [np.nanmean(np.where(np.isnan(days), 0, (days >= d + 21) & (days <= d + 42))) for d in range(121)]
    assert chance == pytest.approx(max(every))
    assert every[offset] == pytest.approx(max(every))
    assert best_sowing(np.full(5, np.nan), np.ones(5), 50) is None


def test_organic_nitrogen_still_to_come_halves_with_the_half_life():
    rate = np.log(2) / 7
    assert to_come_mg_l([(4.0, 7, rate), (2.0, 0, rate)]) == pytest.approx(4.0)
