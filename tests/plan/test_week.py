"""What is to do on which day."""

from datetime import date, timedelta
from uuid import uuid4

import pytest

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.bands import Band
from rillbed.plan.beds.answers import Line
from rillbed.plan.due import every_days
from rillbed.plan.fish import Fish, FishDay
from rillbed.plan.week import tasks
from rillbed.words.week import task

ON = date(2031, 5, 1)


def system(**more):
    told = {
        "name": "made up", "latitude_deg": 40.0, "place": "greenhouse",
        "started_on": "2031-01-01", "startup_path": "running",
        "tanks": [{"name": "tank", "volume_l": 800}], "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0}],
    }  # fmt: skip
    return System.make(told | more)


def read(quantity: str, day: date):
    return LogEntry.make(
        {
            "uuid": uuid4(), "at": f"{day}T08:00:00Z", "author": "k", "kind": "reading",
            "payload": {"quantity": quantity, "low": 0, "high": 0.25, "unit": "mg/L", "basis": "n"},
        }
    )  # fmt: skip


def test_a_test_comes_back_at_its_own_pace_and_an_overdue_one_today() -> None:
    every = every_days("tan", starting=False)
    log = [read("tan", ON - timedelta(days=every - 2)), read("no2", ON - timedelta(days=99))]
    found = [item for item in tasks(system(), log, ON, 21) if item.code == "read"]
    days = {name: [item.first for item in found if name in item.values["quantities"]] for name in ("tan", "no2")}
    assert days["tan"][0] == ON + timedelta(days=2)
    assert days["no2"][0] == ON
    assert days["tan"][1] - days["tan"][0] == timedelta(days=every)


def test_upkeep_waits_for_any_of_its_days_and_feed_beds_and_arrivals_have_one() -> None:
    fed = FishDay(ON, Band(20.0, 20.0, 20.0), 30.0, ())
    fish = Fish(ON, (), (fed,), (), None, ())
    lines = [
        Line("transplant", ON + timedelta(days=3), "basil", "bed", 6.0),
        Line("sow", ON, "chives", "", 9.0, firm=False),
    ]
    arrives = [{"species": "nile_tilapia", "count": 12, "weight_g": 5, "on": ON + timedelta(days=4)}]
    found = tasks(system(planned_fish=arrives), [], ON, 7, fish=fish, lines=lines)
    said = {item.code: task(item) for item in found}
    assert said["feed"] == "Feed 15\u00a0g at each of 2\u00a0meals"
    assert said["transplant"] == "Set out 6 basil in bed"
    assert said["arrive"] == "12 Nile tilapia arrive"
    assert "sow" not in said  # not firm yet
    loose = [item for item in tasks(system(), [], ON, 60) if item.code == "upkeep"]
    assert loose
    assert all(item.loose and item.first >= ON for item in loose)
    assert [item.first for item in found] == sorted(item.first for item in found)
    seed = [Line("sow", ON, "chives", bed, plants) for bed, plants in (("a", 4.0), ("b", 5.0))]
    sown = [item for item in tasks(system(), [], ON, 7, lines=seed) if item.code == "sow"]
    assert [item.values["count"] for item in sown] == [9]  # of two beds, in one go
    with pytest.raises(ValueError, match="days = 0"):
        tasks(system(), [], ON, 0)
