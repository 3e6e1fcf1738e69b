"""What one member in a hundred may suffer is tolerated; what two may suffer is not."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.plan import doses

START = date(2031, 4, 1)
ON = START + timedelta(days=10)
USUAL = {"ph": 6.8, "alkalinity_meq_l": 1.0, "temp_c": 24.0, "volume_m3": 1.0, "ca_mg_l": 10.0, "tan_mg_l": 0.1,
         "n_nitrified": 0.6, "n_excreted": 0.6, "n_mineralised": 0.0, "n_plants": 0.0}  # fmt: skip


def members(count=200, odd=0, **different):
    """A forecast of equal members, the last few of which differ."""
    table = {}
    for name in COLUMNS:
        column = np.full((40, count), USUAL.get(name, 0.0), dtype=np.float32)
        if name in different and odd:
            column[:, -odd:] = different[name]
        table[name] = column
    weights = np.full(count, 1.0 / count)
    return Forecast(START, ON, 39, count, weights, table, np.full(count, np.nan), {}, "", {}, "made")


def water(**spans):
    return doses.Water(1000.0, {"ph": (None, None), **spans}, on=ON)


def first_day(plan):
    return sum(step.amount for step in plan.steps if step.day == 0)


def test_little_co2_in_two_of_a_hundred_makes_the_dose_smaller_and_in_one_of_two_hundred_does_not(system):
    goal = doses.Goal("raise_alkalinity", 1.5, "potassium_hydroxide")
    plain, few, many = (
        first_day(doses.plan(goal, water(), system, forecast=members(odd=odd, ph=7.8))) for odd in (0, 1, 4)
    )
    assert few == pytest.approx(plain, rel=0.02)
    assert many < 0.5 * plain


def test_high_ammonia_in_two_of_a_hundred_refuses_base(system):
    goal = doses.Goal("raise_alkalinity", 1.5)
    assert doses.plan(goal, water(), system, forecast=members(odd=1, tan_mg_l=3.0)).steps
    assert doses.plan(goal, water(), system, forecast=members(odd=4, tan_mg_l=3.0)).code == "refuse.tan"


def test_a_reading_overrules_the_members(system):
    goal = doses.Goal("raise_alkalinity", 1.5)
    seen = water(tan=(0.0, 0.25))
    assert doses.plan(goal, seen, system, forecast=members(odd=4, tan_mg_l=3.0)).steps


def test_it_lasts_as_long_as_the_acid_of_nitrification_takes(system):
    # 0.6 g N a day excreted (+1) and nitrified (-2) in a cubic metre take 0.6/14.007 eq of alkalinity a day.
    plan = doses.plan(doses.Goal("raise_alkalinity", 1.5), water(), system, forecast=members())
    assert plan.again_days.middle == pytest.approx(0.5 / (0.6 / 14.007), rel=1e-3)
