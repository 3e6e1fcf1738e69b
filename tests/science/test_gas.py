"""Gas steps against fine integration, and that neither gas can turn negative."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from rillbed.science import gas

HOUR = 1 / 24


def test_co2_step_is_exact_without_base():
    truth = solve_ivp(lambda t, c: 18 * (0.02 - c) + 1.5, (0, HOUR), [0.3], rtol=1e-11, atol=1e-13).y[0, -1]
    assert gas.step_co2(0.3, 0.02, 18.0, 1.5, 0.0, HOUR) == pytest.approx(truth, rel=1e-9)


def test_co2_moves_with_acid_and_base_when_sealed():
    assert gas.step_co2(0.3, 0.02, 0.0, 0.0, -0.05, HOUR) == pytest.approx(0.35)
    taken = 0.3 - gas.step_co2(0.3, 0.02, 0.0, 0.0, 1e-4, HOUR)
    assert taken == pytest.approx(1e-4, rel=1e-3)
    assert gas.step_co2(0.3, 0.02, 0.0, 0.0, 50.0, HOUR) >= 0
    assert gas.step_co2(0.0, 0.0, 9.0, 0.0, 0.1, HOUR) == 0


def test_oxygen_solves_its_own_equation_and_stays_positive():
    start, k, d = np.meshgrid([0.0, 0.1, 8.0], [0.0, 9.0, 60.0], [0.0, 5.0, 900.0])
    x = gas.step_oxygen(start, 8.2, k, d, HOUR)
    assert np.all(x >= 0)
    np.testing.assert_allclose(x, start + HOUR * k * (8.2 - x) - HOUR * d * x / (0.3 + x), atol=1e-12)


def test_still_water_without_use_keeps_its_oxygen():
    assert gas.step_oxygen(6.0, 8.2, 0.0, 0.0, HOUR) == pytest.approx(6.0)
