from datetime import date

import numpy as np
import pytest

from rillbed import engine
from rillbed.engine.future import Arrival, Future
from rillbed.engine.refinement import in_kit_steps, refine
from rillbed.garden.system import System, Tank

START = date(2025, 4, 1)
SYSTEM = System(
    name="t", latitude_deg=40.0, longitude_deg=-4.0, place="indoors", tanks=(Tank(name="tank", volume_l=1000),),
    water_temp_c=(24.0,) * 12, started_on=START, startup_path="stocked", seeding="pond", feed="pellet_32",
)  # fmt: skip
FISH = Future(fish=(Arrival("nile_tilapia", 20, 20.0, START),))


def check(**how):
    return refine(SYSTEM, (), **({"on": START, "horizon_days": 30, "future": FISH} | how))


def test_the_hourly_step_passes_and_a_coarse_one_is_refined_until_it_does():
    hourly, coarse = check(), check(steps_per_day=2)
    assert hourly.passed
    assert hourly.steps_per_day == 24
    assert coarse.passed
    assert 2 < coarse.steps_per_day <= 24


def test_errors_are_those_of_the_two_runs():
    found = check()
    runs = [engine.forecast(SYSTEM, (), on=START, horizon_days=30, members=16, future=FISH, steps_per_day=n)
            for n in (24, 48)]  # fmt: skip
    assert found.errors["tan_mg_l"] == pytest.approx(np.max(in_kit_steps("tan_mg_l", *runs)))
    assert 0.0 < found.errors["tan_mg_l"] < 0.3


@pytest.mark.parametrize("steps", [0, 193])
def test_impossible_steps_are_refused(steps):
    with pytest.raises(ValueError, match=f"steps_per_day: {steps} is not possible; allowed 1 to 192"):
        check(steps_per_day=steps)
