import numpy as np
import pytest
from scipy.integrate import solve_ivp

from rillbed.science import aeration


@pytest.mark.parametrize("k", [0.0, 1e-13, 0.02, 0.3])
def test_hours_are_those_of_the_equation_stepped_through(k):
    full, use, start, end = 8.0, 2.4, 7.0, 2.5

    def crossing(_, o):
        return o[0] - end

    crossing.terminal = True
    ran = solve_ivp(lambda _, o: [k * (full - o[0]) - use], (0.0, 50.0), [start], events=crossing, rtol=1e-9)
    assert float(aeration.hours_until(start, end, full, k, use)) == pytest.approx(ran.t_events[0][0], rel=1e-5)


def test_water_already_under_the_level_has_no_time_left_and_a_strong_surface_has_all():
    hours = aeration.hours_until(np.array([2.0, 1.0, 7.0]), 3.0, 8.0, np.array([0.0, 5.0, 5.0]), 1.0)
    assert hours.tolist() == [0.0, 0.0, np.inf]


def test_a_fall_never_passes_saturation_and_a_stone_strips_beyond_it():
    assert float(aeration.fallen_mg_l(2.0, 8.0, 3.0, 25.0, 1.8, 1.3)) < 8.0
    assert float(aeration.field_g_h(5.0, 20.0, 8.0, 9.0)) < 0.0
