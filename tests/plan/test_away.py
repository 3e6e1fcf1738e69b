"""Going away: less feed, fewer bacteria, and a slow return."""

from datetime import date, timedelta

import pytest

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import unfitted
from rillbed.plan.away import away, shares

STARTED, ON = date(2031, 1, 1), date(2031, 3, 1)


@pytest.fixture(scope="module")
def loop():
    system = System.make(
        {
            "name": "made up", "latitude_deg": 40.0, "place": "greenhouse",
            "started_on": STARTED, "startup_path": "running",
            "heater_set_c": 24, "feed": "pellet_32", "tanks": [{"name": "tank", "volume_l": 800}],
            "beds": [{"name": "bed", "kind": "media", "area_m2": 2.0}],
        }
    )  # fmt: skip
    came = {"species": "nile_tilapia", "count": 20, "weight": {"value": 100, "unit": "g"}, "group": "fish"}
    told = {"uuid": "0" * 31 + "1", "at": f"{STARTED}T08:00:00Z", "author": "k", "kind": "fish_in", "payload": came}
    log = [LogEntry.make(told)]
    return system, log, unfitted(system, log, on=ON, members=20)


def stretch(loop, days: int, share: float):
    system, log, posterior = loop
    first = ON + timedelta(days=2)
    return away(system, log, ON, first, first + timedelta(days=days - 1), share, posterior=posterior, members=20)


def test_fewer_are_carried_after_a_pause_than_after_half_the_feed(loop) -> None:
    none, half, all_of_it = (stretch(loop, 14, share) for share in (0.0, 0.5, 1.0))
    assert none.carried_g.middle < half.carried_g.middle < all_of_it.carried_g.middle
    assert none.begin_g <= none.ration_g
    assert none.weight_g[1].middle <= half.weight_g[1].middle
    assert len(none.feed) == 14
    assert sum(grams for _, grams in none.feed) == 0.0
    assert half.feed[0][1] == pytest.approx(all_of_it.feed[0][1] / 2, rel=0.05)


@pytest.mark.parametrize(
    ("days", "share", "field"),
    [((0, 5), 0.5, "first"), ((2, 1), 0.5, "last"), ((2, 122), 0.5, "last"), ((2, 5), 2.0, "share")],
)
def test_what_cannot_be_is_refused_by_name(loop, days, share, field) -> None:
    system, log, posterior = loop
    first, last = (ON + timedelta(days=n) for n in days)
    with pytest.raises(GardenError) as refused:
        away(system, log, ON, first, last, share, posterior=posterior, members=20)
    assert refused.value.field == field


def test_the_lowest_share_is_the_least_at_which_fish_keep_their_weight(loop) -> None:
    system, log, posterior = loop
    first, last = ON + timedelta(days=2), ON + timedelta(days=15)
    found = shares(system, log, ON, first, last, posterior=posterior, members=20)
    gains = [row.gain_g.middle for row in found.rows]
    assert [row.share for row in found.rows] == [0.0, 0.25, 0.5, 1.0]
    assert gains == sorted(gains)
    assert gains[0] < 0.0 < gains[-1], "a fast costs weight, the ration brings some"
    at = next(row for row in found.rows if row.share == found.lowest)
    assert at.gain_g.low >= 0.0
    assert all(row.gain_g.low < 0.0 for row in found.rows if row.share < at.share)
    assert found.rows[0].begin_g <= found.rows[-1].begin_g


def test_where_no_share_keeps_their_weight_none_is_called_the_lowest(loop, monkeypatch) -> None:
    system, log, posterior = loop
    monkeypatch.setattr("rillbed.plan.away.SHARES", (0.0,))
    found = shares(system, log, ON, ON + timedelta(days=2), ON + timedelta(days=15), posterior=posterior, members=20)
    assert found.lowest is None
