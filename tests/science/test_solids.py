import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import solids


@given(st.floats(0.0, 50.0), st.floats(0.0, 2.0), st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_two_times_release_what_one_long_time_does(pool, rate, first, second):
    early = solids.mineralised_g_m3(pool, rate, first)
    late = solids.mineralised_g_m3(pool - early, rate, second)
    assert early + late == pytest.approx(solids.mineralised_g_m3(pool, rate, first + second), abs=1e-9)


@given(st.floats(0.0, 100.0), st.floats(0.0, 3.0))
def test_what_stays_and_what_leaves_is_all_there_was(grams, share):
    stays, leaves = solids.split_g(grams, share)
    assert stays + leaves == pytest.approx(grams)
    assert leaves >= 0.05 * grams - 1e-9


def test_temperature_factor_is_one_at_the_reference_and_theta_per_degree():
    np.testing.assert_allclose(solids.temperature_factor([25.0, 26.0, 15.0], 1.07), [1.0, 1.07, 1.07**-10.0])
    assert solids.theta_of_q10(2.0) ** 10.0 == pytest.approx(2.0)


def test_still_to_come_is_what_has_not_been_released():
    # 5-1-1 emulsion, 2 mg N/L: after a week at 0.10 /day about half has appeared
    assert solids.still_to_come_share(0.10, 7.0) == pytest.approx(1.0 - solids.mineralised_g_m3(1.0, 0.10, 7.0))
    assert solids.still_to_come_share(0.10, 7.0, organic_share=0.8) == pytest.approx(0.8 * np.exp(-0.7))


def test_cleaning_takes_only_the_bacteria_that_sit_on_what_leaves():
    assert solids.capacity_left_share(0.5, 0.4) == pytest.approx(0.8)
    assert solids.capacity_left_share(1.0, 1.0) == 0.0
