"""Factors on the nitrifying capacity, against the published anchors they come from."""

import numpy as np
import pytest

from rillbed.science import nitrifier


def test_ph_response_joins_and_ends():
    assert nitrifier.ph_response(7.2) == pytest.approx(1.0)
    assert nitrifier.ph_response(7.2 + 1e-9) == pytest.approx(1.0, abs=1e-3)  # the two published branches nearly meet
    assert np.all(nitrifier.ph_response([9.5, 10.0, 12.0]) == 0)
    # Henze et al. 2008, evaluated: printed nowhere, so half a unit of the last digit carried
    np.testing.assert_allclose(nitrifier.ph_response([5.5, 6.5, 8.5]), [0.234, 0.550, 0.869], atol=0.0006)


def test_a_ripe_filter_answers_weaker_to_ph():
    assert nitrifier.ph_factor(7.5) == pytest.approx(1.0)
    assert nitrifier.ph_factor(6.2) < nitrifier.ph_factor(6.2, maturity=1.0) < 1
    assert nitrifier.ph_factor(6.2, 1.0) == pytest.approx(np.sqrt(nitrifier.ph_factor(6.2)))


def test_factors_are_one_where_the_capacity_is_defined():
    assert nitrifier.oxygen_factor(7.5, nitrifier.OXYGEN_HALF_NITRITE_STEP_MG_L) == pytest.approx(1.0)
    assert nitrifier.temperature_factor(20.0, 1.1) == 1.0
    assert nitrifier.ammonia_inhibition(0.0, 1.5) == 1.0
    assert nitrifier.ammonia_inhibition(1.5, 1.5) == pytest.approx(0.5)


@pytest.mark.parametrize(("theta", "energy_kj"), [(1.100, 68.0), (1.063, 44.0)])
def test_theta_matches_the_activation_energy(theta, energy_kj):
    # Vannecke & Volcke 2015: growth from 15 to 25 degC
    ratio = np.exp(energy_kj * 1e3 / 8.314 * (1 / 288.15 - 1 / 298.15))
    assert nitrifier.temperature_factor(25.0, theta) / nitrifier.temperature_factor(15.0, theta) == pytest.approx(
        ratio, rel=0.02
    )


def test_no_alkalinity_no_nitrification():
    assert np.all(nitrifier.alkalinity_factor([-1.0, 0.0], 0.25) == 0)
    assert nitrifier.alkalinity_factor(0.25, 0.25) == pytest.approx(0.5)


def test_capacity_grows_to_its_ceiling_and_no_further():
    c = 0.01
    for _ in range(24 * 200):
        c = float(nitrifier.grow(c, 0.6, 0.9, 0.06, 30.0, 1 / 24))
    assert c == pytest.approx(30.0 * (1 - 0.06 / 0.54), rel=1e-3)
