"""The kept part of a forecast answers as the whole one does."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed import engine
from rillbed.garden.system import System
from rillbed.plan.near import near, packed, unpacked

START = date(2031, 3, 1)
ON = START + timedelta(days=20)


@pytest.fixture(scope="module")
def whole():
    system = System.make(
        {
            "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "started_on": START,
            "tanks": [{"name": "tank", "volume_l": 900}], "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0}],
        }
    )  # fmt: skip
    return engine.forecast(system, [], on=ON, horizon_days=60, members=40)


def test_the_days_kept_are_the_same_days(whole):
    part = near(whole, ON, back=7, ahead=30)
    assert (part.start, part.days, part.members) == (ON - timedelta(days=7), 37, 40)
    for day in (part.start, ON, ON + timedelta(days=30)):
        for name in ("ph", "tan_mg_l", "n_feed"):
            assert (part.at(name, day) == whole.at(name, day)).all()
    assert np.allclose(part.completion, whole.completion - 13, equal_nan=True)
    with pytest.raises(ValueError, match="outside the forecast"):
        part.at("ph", ON + timedelta(days=31))


def test_fewer_members_keep_weights_that_sum_to_one(whole):
    part = near(whole, ON, members=15)
    assert part.members == 15
    assert part.weights.sum() == pytest.approx(1.0)
    for table in (part.params, part.booked, part.ledger):
        assert all(np.shape(row)[-1] == 15 for row in table.values() if np.ndim(row))


def test_written_and_read_it_is_the_same(whole):
    part = near(whole, ON)
    again = unpacked(packed(part))
    assert (again.start, again.on, again.days, again.digest) == (part.start, part.on, part.days, part.digest)
    assert all((again.columns[name] == column).all() for name, column in part.columns.items())
    assert again.params.keys() == part.params.keys()
    for name, row in part.booked.items():
        assert np.allclose(again.booked[name], row, rtol=1e-5)


@pytest.mark.parametrize("data", [b"", b"nonsense", b"PK\x03\x04 not really"])
def test_other_data_are_refused(data):
    with pytest.raises(ValueError, match="not a packed forecast"):
        unpacked(data)
