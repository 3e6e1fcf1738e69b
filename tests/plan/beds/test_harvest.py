from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.beds.harvest import harvest, own_yields

START = date(2031, 3, 1)
SYSTEM = System.make(
    {
        "name": "made up", "latitude_deg": 43.6, "place": "indoors", "started_on": START,
        "tanks": [{"name": "tank", "volume_l": 500}], "beds": [{"name": "bed", "kind": "media", "area_m2": 2.0}],
    }
)  # fmt: skip


def log(*rows):
    out = []
    for n, (day, kind, payload) in enumerate(rows):
        at = datetime(2031, 3, 1, 8, tzinfo=UTC) + timedelta(days=day)
        out.append(LogEntry.make({"uuid": UUID(int=n + 1), "at": at, "kind": kind, "payload": payload}))
    return tuple(out)


ENTRIES = log(
    (1, "planted", {"crop": "basil", "count": 10, "bed": "bed", "planting": "b"}),
    (2, "feeding", {"feed": "pellet_36", "amount": "2000 g"}),
    (40, "picked", {"planting": "b", "amount": "720 g"}),
    (60, "picked", {"planting": "b"}),
    (61, "removed", {"planting": "b", "count": 3}),
)


def test_yields_are_the_sums_of_the_log():
    found = harvest(SYSTEM, ENTRIES, START, START + timedelta(days=90), feed_price_kg=3.0)
    (basil,) = found.crops
    row = facts.crops()["basil"]
    assert (basil.picked_g, basil.pickings, basil.unweighed, basil.lost_plants) == (720.0, 2, 1, 3)
    # Ten plants, nine of ten live, at the table's mass of one picking.
    assert basil.expected_g == pytest.approx(10 * 0.9 * row.yield_g_fresh_per_plant_per_harvest)
    assert basil.ratio == pytest.approx(720.0 / basil.expected_g)
    # 100 g of basil as picked make 6.4 servings of 10 g, at the share that is eaten.
    assert basil.servings == pytest.approx(7.2 * row.servings_per_plant_per_harvest)
    assert found.g_m2 == pytest.approx(360.0)
    assert found.g_per_kg_feed == pytest.approx(360.0)
    assert found.cost_per_kg == pytest.approx(6.0 / 0.72)


def test_days_outside_do_not_count():
    found = harvest(SYSTEM, ENTRIES, START + timedelta(days=50), START + timedelta(days=90))
    assert found.picked_g == 0.0
    assert found.crops[0].ratio is None
    assert found.g_per_kg_feed is None
    assert found.cost_per_kg is None


def test_days_the_wrong_way_round_are_refused():
    with pytest.raises(ValueError, match="before first"):
        harvest(SYSTEM, ENTRIES, START, START - timedelta(days=1))
    with pytest.raises(ValueError, match="feed_price_kg"):
        harvest(SYSTEM, ENTRIES, START, START, feed_price_kg=-1.0)


def test_own_pickings_move_the_yield_a_part_of_the_way():
    day = START + timedelta(days=90)
    factor = own_yields(SYSTEM, ENTRIES, day)["basil"]
    ratio = harvest(SYSTEM, ENTRIES, START, day).crops[0].ratio
    assert ratio < factor < 1.0
    # One weighed picking against two of the table.
    assert factor == pytest.approx((2.0 + ratio) / 3.0)
    assert own_yields(SYSTEM, ENTRIES[:2], day) == {}
