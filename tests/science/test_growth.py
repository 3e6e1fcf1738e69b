import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import growth

TILAPIA = {"low_c": 17.0, "best_c": 30.0, "high_c": 38.0}


def rate(tgc, measured_at, cardinal, temp):
    best = growth.best_rate(tgc, measured_at, growth.temperature_response(measured_at, **cardinal))
    return best * growth.temperature_response(temp, **cardinal)


@given(st.floats(-5.0, 50.0))
def test_temperature_response_is_a_share_and_zero_outside_the_limits(temp):
    response = growth.temperature_response(temp, **TILAPIA)
    assert 0.0 <= response <= 1.0
    if temp <= 17.0 or temp >= 38.0:
        assert response == 0.0


def test_published_growth_at_the_best_is_about_three_times_that_at_22_degrees():
    # Popma & Masser 1999, SRAC Publ. 283: best near 29.7 degC against 22.2 degC; this curve gives a factor of 2.4
    there, best = growth.temperature_response([22.2, 29.7], **TILAPIA)
    assert there / best == pytest.approx(0.41, abs=0.005)


@pytest.mark.parametrize(
    ("tgc", "at", "cardinal", "fcr", "temp", "percent"),
    [  # percent of body weight a day at 5, 20, 50, 100, 250, 500, 1000 g: derived from each coefficient
        (1.0, 28.0, (17.0, 30.0, 38.0), 1.5, 28.0, (7.4, 4.6, 3.4, 2.7, 2.0, 1.6, 1.3)),
        (0.55, 28.0, (8.0, 30.0, 38.0), 1.7, 28.0, (4.6, 2.9, 2.1, 1.7, 1.25, 1.0, 0.8)),
        (1.8, 15.0, (2.0, 15.5, 24.0), 1.15, 15.0, (5.5, 3.4, 2.5, 2.0, 1.5, 1.2, 0.9)),
        (1.0, 28.0, (18.0, 31.4, 40.0), 1.4, 28.0, (6.9, 4.3, 3.2, 2.5, 1.9, 1.5, 1.2)),
    ],
)
def test_ration_follows_from_growth(tgc, at, cardinal, fcr, temp, percent):
    weight = np.array([5.0, 20.0, 50.0, 100.0, 250.0, 500.0, 1000.0])
    r = rate(tgc, at, dict(zip(("low_c", "best_c", "high_c"), cardinal, strict=True)), temp)
    ration = growth.need_g_day(growth.full_gain_g_day(weight, r), fcr) / weight
    np.testing.assert_allclose(100.0 * ration, percent, atol=0.055)


def test_daily_steps_stay_close_to_the_closed_form():
    # 30 g at a coefficient of 1.0 and 26 degC for 84 days: 148.14 g exactly, 146.99 g in daily steps
    weight = 30.0
    for _ in range(84):
        weight += growth.full_gain_g_day(weight, 0.026)
    assert weight == pytest.approx(146.99, abs=0.006)


@pytest.mark.parametrize(("tgc", "days"), [(1.0, 187), (0.9, 207), (0.8, 233)])
def test_days_to_harvest(tgc, days):
    # tilapia 20 to 500 g at 28 degC; FAO Technical Paper 589 gives 6-8 months to 600 g
    before, after = growth.grown_g(20.0, tgc * 0.028, np.array([days - 1.0, days + 1.0]))
    assert before < 500.0 < after


def test_trout_in_a_recirculating_farm_grow_at_the_published_rate():
    # Davidson et al. 2014, J. Aquac. Res. Dev. 5:238: weight by day after hatch, temperature of the stretch before
    days = np.array([91, 122, 152, 183, 213, 244, 274, 305, 335, 366])
    temp = np.array([13.5, 13.4, 13.3, 12.5, 12.7, 13.5, 13.6, 14.8, 15.2])
    degree_days = np.sum(np.diff(days) * temp)
    assert growth.thermal_growth_per1000(12.0, 1230.0, degree_days) == pytest.approx(2.25, abs=0.006)


def test_full_ration_gives_full_gain_at_the_conversion_ratio_and_more_feed_gives_no_more():
    full, fcr, upkeep = 2.0, 1.5, 0.3
    need = growth.need_g_day(full, fcr)
    np.testing.assert_allclose(growth.gain_g_day([need, 1.5 * need, 9.0 * need], full, fcr, upkeep), full)


def test_unfed_fish_lose_no_more_than_was_seen_in_starved_trout_doubled():
    # Sumpter et al. 1991: 25.8 to 24.6 g in 28 days at about 14 degC, 0.17 % a day
    response = growth.temperature_response(14.0, 2.0, 15.5, 24.0)
    weight = 25.8
    full = growth.full_gain_g_day(weight, rate(1.8, 14.0, {"low_c": 2.0, "best_c": 15.5, "high_c": 24.0}, 14.0))
    upkeep = weight * growth.upkeep_g_g_day(weight, response)
    lost = -growth.gain_g_day(0.0, full, 1.15, upkeep) / weight
    assert 0.0017 / 2 < lost < 0.0017 * 2.1


@given(st.floats(0.0, 50.0), st.floats(0.0, 20.0), st.floats(0.5, 4.0), st.floats(1e-4, 5.0))
def test_gain_rises_with_what_is_eaten_and_stays_finite(eaten, full, fcr, upkeep):
    less, more = growth.gain_g_day([eaten, eaten + 1.0], full, fcr, upkeep)
    assert np.isfinite(less)
    assert -upkeep / fcr - 1e-12 <= less <= more <= full + 1e-12


def test_feed_table_is_met_on_its_lines_and_held_beyond_them():
    lines = ([5.0, 20.0, 50.0], [0.085, 0.055, 0.037])
    np.testing.assert_allclose(growth.table_ration_g_g_day([1.0, 5.0, 20.0, 50.0, 800.0], *lines),
                               [0.085, 0.085, 0.055, 0.037, 0.037])  # fmt: skip


def test_a_rate_taken_from_a_table_gives_the_table_back():
    r = growth.rate_of_ration(0.025, 20.0, 2.2)
    assert growth.need_g_day(growth.full_gain_g_day(20.0, r), 2.2) / 20.0 == pytest.approx(0.025)


def test_appetite_falls_in_a_straight_line_between_its_two_marks():
    np.testing.assert_allclose(growth.poison_response([0.0, 1.5, 2.25, 3.0, 9.0], 2.0), [1, 1, 0.5, 0, 0])
    np.testing.assert_allclose(growth.oxygen_response([9.0, 5.0, 3.5, 2.0, 0.0], 5.0, 2.0), [1, 1, 0.5, 0, 0])


@given(st.floats(2.0, 80.0), st.floats(0.002, 0.03), st.floats(2.8, 3.6))
def test_length_and_weight_are_inverses(length, a, b):
    assert growth.length_of_weight_cm(growth.weight_of_length_g(length, a, b), a, b) == pytest.approx(length)


def test_air_left_is_nothing_below_the_critical_level():
    assert growth.hours_without_air(1.5, 2.0, 1000.0, 10.0, 200.0) == 0.0
