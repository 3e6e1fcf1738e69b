"""A short version of the calibration: the full one is `python -m benchmarks.calibration`."""

import numpy as np
import pytest
from benchmarks.calibration.__main__ import bounds, table
from benchmarks.calibration.keeper import observed
from benchmarks.calibration.score import score
from benchmarks.calibration.truth import Wrong

from rillbed.engine.pack import dose_grams

SEEDS = (0, 2, 8, 9)


@pytest.fixture(scope="module")
def scores():
    return [s for seed in SEEDS for s in score(seed, shortest=True)]


def test_bands_hold_the_truths_of_wrong_models_as_often_as_chance_allows(scores):
    covered = sum(s.covered for s in scores)
    low, high = bounds(len(scores))
    assert low * len(scores) <= covered <= high * len(scores)


def test_logs_sharpen_what_they_are_about(scores):
    starts = [s for s in scores if s.target == "completion day"]
    assert len(starts) == 3
    assert np.median([s.width / s.prior_width for s in starts]) < 1.0
    assert all(s.reached == 1.0 for s in scores)


def test_the_table_has_a_row_per_target_and_length(scores):
    rows = table(scores)
    assert sum(row[2] for row in rows) == len(scores)
    assert {row[0] for row in rows} == {"completion day", "nitrate in 30 days", "fish weight in 60 days"}


def test_bounds_for_two_hundred_loops_are_those_of_the_specification():
    low, high = bounds(200)
    assert (round(low, 2), round(high, 2)) == (0.67, 0.91)


def test_every_kind_of_wrong_truth_occurs_and_is_repeatable():
    kinds = {Wrong.of(seed) for seed in range(10)}
    assert len(kinds) == 5


def test_a_loop_is_the_same_every_time():
    assert observed(2, 40)[1] == observed(2, 40)[1]


def test_keepers_write_down_all_base_that_came_in():
    _, log, truth = observed(11, 100)
    written = [e.payload for e in log if e.kind == "dosed"]
    assert len(written) == sum(grams > 0.0 for grams in truth.based) > 0
    k = sum(dose_grams(payload)["k"] for payload in written)
    assert k == pytest.approx(float(truth.books.by_cause["k.base.in"][0]), rel=0.01)
