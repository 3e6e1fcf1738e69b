"""A long log is fitted from its last checkpoint; that must lose nothing that matters."""

from datetime import timedelta

import numpy as np
import pytest
from tests.fit.conftest import START, loop
from tests.fit.test_answers import DAYS, FINE, nitrate_log

from rillbed import fit
from rillbed.fit import refit

ON = START + timedelta(days=69)
SYSTEM = loop(startup_path="running", kits=(FINE,))


@pytest.fixture(scope="module")
def both():
    log = nitrate_log(SYSTEM, DAYS, lambda d, c: 0.8 * c)
    whole = fit.fit(SYSTEM, log, on=ON)
    kept = fit.fit(SYSTEM, log, on=START + timedelta(days=60))
    parts = fit.fit(SYSTEM, log, on=ON, checkpoint=kept)
    return whole, parts, log


def test_days_of_checkpoints_leave_a_window_of_evidence():
    assert [refit.checkpoint_day(d) for d in (0, 89, 119, 120, 209, 210, 365)] == [0, 0, 0, 90, 90, 180, 270]


def test_only_the_last_window_is_evidence(both):
    whole, parts, _ = both
    assert len(whole.evidence.answers) == 10
    assert [a.look.day for a in parts.evidence.answers] == [62, 69]
    assert [s.day for s in parts.skill] == [s.day for s in whole.skill]
    assert parts.reached == 1.0
    assert parts.effective > 100


@pytest.mark.parametrize(("column", "days"), [("no3_mg_l", 0), ("no3_mg_l", 30), ("fish_weight_g", 30)])
def test_the_forecast_is_that_of_the_whole_log(both, column, days):
    """Middles agree within a quarter of the band, widths within two fifths: the noise of a few hundred points.

    What is lost is the little the kit had shown of its own bias.
    """
    whole, parts, log = both
    bands = []
    for posterior in (whole, parts):
        f = fit.forecast(SYSTEM, log, on=ON, horizon_days=30, members=300, posterior=posterior)
        bands.append(np.quantile(f.columns[column][69 + days], [0.1, 0.5, 0.9]))
    (low, middle, high), (low_p, middle_p, high_p) = bands
    assert abs(middle_p - middle) < 0.25 * (high - low)
    assert (high_p - low_p) == pytest.approx(high - low, rel=0.4)


def test_a_checkpoint_must_lie_before_the_day(both):
    _, parts, log = both
    with pytest.raises(ValueError, match="checkpoint: 2025-06-09 is not before 2025-06-01"):
        fit.fit(SYSTEM, log, on=START + timedelta(days=61), checkpoint=parts)
