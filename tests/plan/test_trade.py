from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from uuid import UUID

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import ahead
from rillbed.plan.room import room

ON = date(2031, 4, 8)


def test_a_new_loop_on_five_grams_a_day_starts_with_five_to_ten_small_plants_and_grows_from_there():
    # Common practice, no source: 1 m3, 0.6 m2 of media, 25 fish of 5 g at 26 degC, K and Fe supplemented.
    system = System.make(
        {
            "name": "Trade check",
            "latitude_deg": -30,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 1000}],
            "beds": [{"name": "bed", "kind": "media", "area_m2": 0.6}],
            "startup_path": "running",
            "started_on": date(2031, 4, 1),
            "water_temp_c": [26] * 12,
            "source_water": {"no3_n_mg_l": 5, "alkalinity_meq_l": 2},
        }
    )
    fish = {"species": "nile_tilapia", "count": 25, "weight": {"value": 5, "unit": "g"}, "group": "A"}
    log = [
        LogEntry.make(
            {"uuid": UUID(int=1), "at": datetime(2031, 4, 1, 8, tzinfo=UTC), "kind": "fish_in", "payload": fish}
        )
    ]
    futures = ahead(system, log, on=ON, members=100)
    spans = []
    for weeks in (0, 12, 24):
        found = room(
            system,
            log,
            futures,
            ON + timedelta(weeks=weeks),
            crop="lettuce_loose",
            supplemented=frozenset({"k", "fe"}),
        )
        spans.append((22.0 * found.rule_m2[0], found.nitrogen_half))
    assert spans[0][0] <= 5
    assert spans[0][1] >= 10
    for earlier, later in pairwise(spans):
        assert later[0] > earlier[0]
        assert later[1] > earlier[1]
