"""The sampler on a posterior known in closed form."""

import numpy as np
import pytest

from rillbed.fit.sampler import Cloud, clipped, ess, sample, systematic

NAMES = 30
RNG = np.random.default_rng(2)
SLOPE = np.zeros((6, NAMES))
SLOPE[:, :5] = RNG.standard_normal((6, 5))
READ = np.array([1.5, -2.0, 0.5, 1.0, -1.0, 0.3])
SD = np.full(6, 0.25)


def simulate(z):
    shown = SLOPE @ z
    terms = -0.5 * ((shown - READ[:, None]) / SD[:, None]) ** 2
    return Cloud(z, terms.sum(0), shown, terms, terms, shown, sizes=[z.shape[1]])


def fresh(k):
    return np.random.default_rng(k).standard_normal((NAMES, 800))


@pytest.fixture(scope="module")
def done():
    return sample(simulate(fresh(0)), simulate, fresh, SD, rounds=9, temper=80, wanted=300)


def test_middle_and_spread_are_those_of_linear_regression(done):
    cloud, reached = done
    assert reached == 1.0
    precision = np.eye(NAMES) + SLOPE.T @ SLOPE / 0.25**2
    cov = np.linalg.inv(precision)
    mean = cov @ (SLOPE.T @ (READ / 0.25**2))
    w = cloud.weights(cloud.log_l)
    assert ess(w) > 300
    got = cloud.z @ w
    np.testing.assert_allclose(got[:5], mean[:5], atol=0.12)
    sd = np.sqrt((cloud.z - got[:, None]) ** 2 @ w)
    np.testing.assert_allclose(sd[:5], np.sqrt(np.diag(cov))[:5], rtol=0.2)
    np.testing.assert_allclose(sd[5:], 1.0, atol=0.2)


def test_the_evidence_is_that_of_linear_regression(done):
    cloud, _ = done
    log_w = cloud.log_l - cloud.log_mix()
    got = np.logaddexp.reduce(log_w) - np.log(len(log_w))
    cov = SLOPE @ SLOPE.T + 0.25**2 * np.eye(6)
    exact = -0.5 * (READ @ np.linalg.solve(cov, READ) + np.linalg.slogdet(cov)[1]) + 6 * np.log(0.25)
    assert got == pytest.approx(exact, abs=0.25)


def test_impossible_points_weigh_nothing():
    cloud = simulate(fresh(0))
    cloud.log_l[:400] = -np.inf
    for share in (0.0, 0.5, 1.0):
        w = cloud.weights(cloud.log_l, share)
        assert w[:400].max() == 0.0
        assert w.sum() == pytest.approx(1.0)


def test_one_lucky_point_is_clipped_and_evenly_weighted_ones_are_not():
    even = np.full(100, 0.01)
    np.testing.assert_allclose(clipped(even), even)
    lucky = np.r_[0.3, np.full(999, 0.7 / 999)]
    assert clipped(lucky).max() < 0.3
    assert clipped(lucky).sum() == pytest.approx(1.0)


def test_systematic_draws_by_weight():
    places = systematic(np.array([0.1, 0.0, 0.6, 0.3]), 10)
    assert np.bincount(places, minlength=4).tolist() == [1, 0, 6, 3]
