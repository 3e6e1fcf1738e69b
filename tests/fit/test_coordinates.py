"""Slow paths reach every day they are asked for, whatever the length of a run."""

from datetime import date

import numpy as np
import pytest

from rillbed.fit.coordinates import PATHS, Coordinates, knots
from rillbed.garden.system import System


@pytest.fixture(scope="module")
def system():
    return System.make(
        {
            "name": "made up", "latitude_deg": 40.0, "place": "greenhouse", "started_on": date(2031, 1, 1),
            "tanks": [{"name": "tank", "volume_l": 800}], "startup_path": "running",
        }
    )  # fmt: skip


@pytest.mark.parametrize("last", range(100))
def test_a_run_to_a_day_has_its_paths(system, last) -> None:
    c = Coordinates.of(system, last, ())
    z = np.ones((len(c.names), 3))
    for name in PATHS:
        assert c.path(name, z, last + 1).shape == (last + 1, 3)


def test_the_same_days_have_the_same_rates_in_a_longer_run(system) -> None:
    long = Coordinates.of(system, 200, ())
    z = np.random.default_rng(1).standard_normal((len(long.names), 4))
    whole = long.path(PATHS[0], z, 201)
    for days in (1, 29, 30, 31, 60, 89, 90, 91):
        assert np.array_equal(long.path(PATHS[0], z, days), whole[:days]), days


def test_a_day_beyond_the_paths_is_refused(system) -> None:
    c = Coordinates.of(system, 10, ())
    z = np.zeros((len(c.names), 1))
    assert c.path(PATHS[0], z, 30).shape == (30, 1)
    assert knots(10) == 2
    with pytest.raises(ValueError, match="days: 31 is beyond the paths"):
        c.path(PATHS[0], z, 31)
