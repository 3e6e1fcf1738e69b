import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import uptake

POSITIVE = st.floats(0.01, 500.0)


@given(POSITIVE, st.floats(0.5, 30.0), st.floats(0.02, 0.4), st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_two_steps_are_one_long_step(mass, canopy, rate, first, second):
    there = uptake.grown_g_m2(uptake.grown_g_m2(mass, canopy, rate, first), canopy, rate, second)
    assert there == pytest.approx(uptake.grown_g_m2(mass, canopy, rate, first + second), rel=1e-9)


def test_small_plants_grow_exponentially_and_canopies_in_a_straight_line():
    assert uptake.grown_g_m2(1e-4, 12.0, 0.2, 5.0) == pytest.approx(1e-4 * np.exp(1.0), rel=1e-4)
    assert uptake.grown_g_m2(2000.0, 12.0, 0.2, 5.0) == pytest.approx(2060.0, rel=1e-9)


def test_no_light_or_no_plants_means_no_growth():
    np.testing.assert_array_equal(uptake.grown_g_m2([3.0, 0.0], [0.0, 12.0], 0.2, 9.0), [3.0, 0.0])


@given(st.floats(-10.0, 45.0))
def test_temperature_factor_is_a_share_and_highest_at_the_best(temp):
    factor = uptake.temperature_factor(temp, 4.0, 21.0, 33.0)
    assert 0.0 <= factor <= 1.0
    assert (factor == 0.0) == (temp <= 4.0 or temp >= 33.0) or factor < 1e-6


def test_nitrogen_content_is_constant_in_small_crops_and_falls_in_big_ones():
    np.testing.assert_array_equal(uptake.critical_n_pct([0.0, 0.5, 1.0], 4.8, 0.34), [4.8, 4.8, 4.8])
    assert uptake.critical_n_pct(3.0, 4.8, 0.34) == pytest.approx(4.8 * 3.0**-0.34)


def test_light_counts_up_to_the_best_only():
    np.testing.assert_allclose(uptake.light_factor([0.0, 8.5, 17.0, 40.0], 17.0), [0.0, 0.5, 1.0, 1.0])


def test_demand_tends_to_luxury_and_is_capped():
    assert uptake.wanted_g(100.0, 5.0, 6.0, 0.06, 2.0) == pytest.approx(0.3)
    assert uptake.wanted_g(100.0, 5.0, 0.0, 0.06, 2.0) == pytest.approx(2.0 * 0.06 * 5.0)
    assert uptake.wanted_g(100.0, 5.0, 9.0, 0.06, 2.0) == 0.0


def test_growth_stops_at_the_critical_content():
    assert uptake.allowed_gain_g(100.0, 2.5, 0.025) == pytest.approx(0.0)
    assert uptake.allowed_gain_g(100.0, 3.0, 0.025) == pytest.approx(20.0)


@given(st.floats(0.0, 300.0), st.floats(0.0, 1e4), st.floats(1e-3, 5.0))
def test_uptake_never_takes_more_than_is_there_or_wanted(pool, wanted, half):
    took = uptake.taken_g_m3(pool, wanted, half)
    assert 0.0 <= took <= min(pool, wanted) + 1e-12


@given(st.floats(50.0, 2000.0), st.floats(20.0, 160.0), st.floats(1.25, 3.0), st.floats(0.05, 30.0))
def test_a_course_ends_at_its_total_whatever_it_has_to_bend(total, days, over, start):
    canopy = over * total / days
    rate, first = uptake.course(total, days, canopy, start, 0.05, 0.35)
    assert uptake.grown_g_m2(first, canopy, rate, days) == pytest.approx(total, rel=1e-6)
    assert 0.05 <= rate <= 0.35
    assert first == start or rate in (0.05, 0.35)


def test_a_total_beyond_the_canopy_is_refused():
    with pytest.raises(ValueError, match="total_g_m2: 500 is out of reach"):
        uptake.course(500.0, 30.0, 12.0, 1.0, 0.05, 0.35)


def test_cover_closes_with_mass():
    np.testing.assert_allclose(uptake.cover_share([0.0, 60.0, 1e4], 12.0, 0.2), [0.0, 1 - np.exp(-1.0), 1.0])
