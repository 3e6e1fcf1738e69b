import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from rillbed.science import heat

TEMP = st.floats(-10.0, 40.0)


@given(TEMP, TEMP, st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.floats(1.0, 300.0))
def test_two_times_are_one_long_time(water, air, first, second, tau):
    there = heat.relaxed_c(heat.relaxed_c(water, air, first, tau), air, second, tau)
    assert there == pytest.approx(heat.relaxed_c(water, air, first + second, tau), abs=1e-9)


@given(TEMP, TEMP, st.floats(0.0, 500.0), st.floats(1.0, 300.0))
def test_water_ends_between_where_it_was_and_the_air(water, air, hours, tau):
    assert min(water, air) - 1e-9 <= heat.relaxed_c(water, air, hours, tau) <= max(water, air) + 1e-9


def test_swing_and_lag_are_those_of_the_integrated_balance():
    tau, period = 25.3, 24.0
    run = solve_ivp(lambda t, w: (np.cos(2 * np.pi * t / period) - w) / tau, (0, 60 * period), [0.0], rtol=1e-9,
                    atol=1e-12, t_eval=np.linspace(59 * period, 60 * period, 4801))  # fmt: skip
    wave = run.y[0]
    assert wave.max() == pytest.approx(heat.swing_share(period, tau), rel=1e-4)
    assert run.t[wave.argmax()] - 59 * period == pytest.approx(heat.swing_lag_h(period, tau), abs=0.01)


def test_a_heater_holds_its_set_point_and_lets_warm_water_be():
    np.testing.assert_array_equal(heat.heated_c([18.0, 27.0], 24.0), [24.0, 27.0])
    assert heat.heater_kwh_day(24.0, 26.0, 1.0, 25.3) == 0.0


def test_energy_balances_the_loss():
    # what the tank would lose in the first moment, times a day: 45.8 W/K over 14 K
    tau = heat.time_constant_h(1.0, 3.0, 6.6, 1.3, 20.0)
    assert heat.heater_kwh_day(24.0, 10.0, 1.0, tau) == pytest.approx((3.0 * 6.6 + 1.3 * 20.0) * 14.0 * 24.0 / 1000.0)


def test_insulation_lowers_the_loss_of_a_wall():
    # 6 mm of polyethylene bare, then with 25 and 50 mm of polystyrene, worked by hand
    layers = (0.006, 0.4)
    assert heat.wall_w_m2_k((layers,), 500.0, 8.0) == pytest.approx(7.04, abs=0.005)
    assert heat.wall_w_m2_k((layers, (0.025, 0.035)), 500.0, 8.0) == pytest.approx(1.17, abs=0.005)
    assert heat.wall_w_m2_k((layers, (0.050, 0.035)), 500.0, 8.0) == pytest.approx(0.64, abs=0.005)
