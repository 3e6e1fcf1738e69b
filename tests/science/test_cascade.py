"""The implicit Monod step: it solves its equation, keeps mass and loses no digits."""

from fractions import Fraction

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from rillbed.science.cascade import implicit_monod


def test_solves_its_own_equation_everywhere():
    s, k, v, b = np.meshgrid([0.0, 1e-9, 0.01, 1.0, 300.0], [0.05, 0.6, 3.0], [0.0, 1e-8, 0.5, 50.0], [1.0, 1.01, 3.0])
    x = implicit_monod(s, k, v, b)
    assert np.all(np.isfinite(x))
    assert np.all((x >= 0) & (b * x <= s * (1 + 1e-12)))
    np.testing.assert_allclose(b * x + v * x / (k + x), s, rtol=1e-12, atol=1e-300)


def test_keeps_its_digits_when_the_pool_is_nearly_empty():
    s, k, v = 1e-12, 0.6, 40.0
    x = implicit_monod(s, k, v)
    exact = Fraction(x) + Fraction(v) * Fraction(x) / (Fraction(k) + Fraction(x))
    assert float(exact / Fraction(s)) == pytest.approx(1.0, rel=1e-14)


def test_halving_the_step_halves_the_error():
    truth = solve_ivp(lambda t, y: -6.0 * y / (0.6 + y), (0, 1), [4.0], rtol=1e-11, atol=1e-13).y[0, -1]

    def error(steps):
        x = 4.0
        for _ in range(steps):
            x = float(implicit_monod(x, 0.6, 6.0 / steps))
        return abs(x - truth)

    assert error(96) == pytest.approx(error(48) / 2, rel=0.1)
