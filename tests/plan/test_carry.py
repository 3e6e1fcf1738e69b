"""What the bacteria carry, against the sizing chain of the aquaculture textbooks: 0.092 g N for each g of protein."""

from dataclasses import replace

import numpy as np
import pytest

from rillbed.plan.carry import carried

HALF = {"k_tan": np.full(100, 0.6), "k_no2": np.full(100, 0.8)}


def test_the_weaker_step_at_low_levels_decides_and_the_feed_makes_as_much_ammonia(made, on) -> None:
    forecast = replace(
        made(cap_a_g_m3_day=np.full(201, 4.0), cap_n_g_m3_day=np.linspace(0.0, 3.0, 201), volume_m3=np.full(201, 0.9)),
        params=HALF,
    )
    found = carried(forecast, on, "pellet_32")
    mark = found.mark_mg_l
    # By hand: Monod at the mark, day 20 of a straight line from 0 to 3 over 200 days.
    expected = 0.9 * (3.0 * forecast.index(on) / 200) * mark / (0.8 + mark)
    assert found.load_g_n_day.middle == pytest.approx(expected, rel=1e-5)
    assert found.feed_g_day.middle == pytest.approx(expected / (0.092 * 0.32), rel=0.002)
    assert carried(forecast, on, "pellet_40").feed_g_day.middle < found.feed_g_day.middle
    assert found.protein_pct == 32


def test_the_first_step_decides_where_it_is_the_weaker(made, on) -> None:
    forecast = replace(made(cap_a_g_m3_day=np.full(201, 1.0), cap_n_g_m3_day=np.full(201, 9.0)), params=HALF)
    found = carried(forecast, on, None)
    assert found.load_g_n_day.middle == pytest.approx(found.mark_mg_l / (0.6 + found.mark_mg_l), rel=1e-5)
    assert 25 < found.protein_pct < 45


def test_an_unknown_feed_is_refused(made, on) -> None:
    with pytest.raises(KeyError):
        carried(replace(made(), params=HALF), on, "moon_dust")
