"""When fish are big enough, what oxygen carries, and how many a week hold them at a limit."""

from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

from rillbed.plan.bands import Band
from rillbed.plan.fish import Kilograms, _kilograms, _over, _ready
from rillbed.science.oxygen import saturation_mg_l

ON = date(2031, 5, 1)


def test_the_day_is_that_of_a_tenth_half_and_nine_tenths_of_the_weight() -> None:
    days = np.arange(101)[:, None]
    weight = 100.0 + days * np.array([4.0, 2.0, 1.0])  # 200 g on days 25, 50 and 100
    found = _ready(weight, 200.0, np.array([0.2, 0.4, 0.4]), ON)
    assert found == (ON + timedelta(days=25), ON + timedelta(days=50), ON + timedelta(days=100))
    assert _ready(weight, 200.0, np.array([0.05, 0.05, 0.9]), ON)[2] == ON + timedelta(days=100)
    assert _ready(weight[:60], 200.0, np.array([0.2, 0.4, 0.4]), ON)[2] is None


def test_a_weight_once_reached_counts_though_the_fish_thin_out() -> None:
    weight = np.array([[100.0], [210.0], [190.0]])
    assert _ready(weight, 200.0, np.ones(1), ON)[0] == ON + timedelta(days=1)


def test_oxygen_carries_as_much_more_as_there_is_room_below_saturation() -> None:
    full = float(saturation_mg_l(25.0))
    low = full - 1.0  # 10 kg cost 1 mg/L: what is left down to 5 mg/L carries so many times as much
    columns = {"fish_biomass_g": [[10_000.0]], "o2_min_mg_l": [[low]], "temp_c": [[25.0]]}
    one = SimpleNamespace(columns={k: np.array(v) for k, v in columns.items()}, weights=np.ones(1), start=ON)
    found = _kilograms(one, 0, 5.0, 1.0)
    assert found.oxygen_kg == pytest.approx(10.0 * (full - 5.0))
    assert found.short == 0.0
    assert _kilograms(one, 0, low + 0.1, 1.0).short == 1.0


def test_the_first_week_over_a_limit_is_named_with_the_fish_a_week_that_hold_it() -> None:
    def week(n: int, kg: float, short: float = 0.0) -> Kilograms:
        return Kilograms(ON + timedelta(days=7 * n), Band(kg, kg, kg), 99.0, short)

    weeks = [week(0, 8.0), week(1, 10.5), week(2, 13.0)]
    found = _over(weeks, 10.0, 21)  # half a kilo each, 2.5 kg more a week
    assert found is not None
    assert (found.code, found.values["on"], found.values["fewer"]) == ("shoal.over_density", weeks[1].on.isoformat(), 5)
    assert _over(weeks, 20.0, 21) is None
    short = _over([week(0, 8.0, 0.3), *weeks[1:]], 20.0, 16)
    assert short is not None
    assert short.code == "shoal.over_oxygen"
