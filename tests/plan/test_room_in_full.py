"""The next batch against the full model: the number that the linear rule gives is planted there and followed."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from rillbed.engine import forecast
from rillbed.engine.future import Sowing
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import startup_future
from rillbed.plan.crops import crop_of, life_days
from rillbed.plan.nutrients import FLOORS
from rillbed.plan.room import room

CROP, START = "lettuce_loose", date(2031, 4, 1)
AT = START + timedelta(weeks=13)
OTHERS = (("p", 5.0), ("k", 40.0), ("ca", 60.0), ("mg", 20.0), ("fe", 2.0))


@pytest.fixture(scope="module")
def loop():
    return System.make(
        {
            "name": "Wide bed",
            "latitude_deg": -30,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 1000}],
            "beds": [{"name": "bed", "kind": "media", "area_m2": 8.0}],
            "startup_path": "running",
            "started_on": START,
            "water_temp_c": [26] * 12,
            "feed": "pellet_32",
            "source_water": {"no3_n_mg_l": 5, "alkalinity_meq_l": 2},
        }
    )


def test_the_batch_lasts_in_the_full_model_in_the_share_it_was_sized_for_and_is_not_half_as_small(loop):
    fish = {"species": "nile_tilapia", "count": 25, "weight": {"value": 5, "unit": "g"}, "group": "A"}
    at = datetime(2031, 4, 1, 8, tzinfo=UTC)
    log = [LogEntry.make({"uuid": UUID(int=1), "at": at, "kind": "fish_in", "payload": fish})]
    rules = replace(startup_future(loop, START), supplement_to_mg_l=OTHERS, replant=False)

    def run(plants):
        sown = (Sowing(CROP, plants, AT),) if plants else ()
        return forecast(loop, log, on=START, horizon_days=130, members=100, future=replace(rules, plantings=sown))

    found = room(loop, log, run(0), AT, crop=CROP, supplemented=frozenset(name for name, _ in OTHERS))
    assert found.next_batch > 20

    def lasts(plants):
        with_it = run(plants)
        first = with_it.index(AT) + 1
        lowest = with_it.columns["no3_mg_l"][first : first + life_days(crop_of(CROP))].min(axis=0)
        return (lowest >= FLOORS["n"]).mean()

    assert lasts(found.next_batch) >= 0.8
    assert lasts(2 * found.next_batch) < 0.8
