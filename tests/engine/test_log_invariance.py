"""The order a log is written in, the size of a chunk and a mistake put right change nothing, bit for bit."""

import random
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from rillbed import engine
from rillbed.garden.log import LogEntry
from rillbed.garden.system import Bed, SourceWater, System, Tank

START = date(2025, 4, 1)
SYSTEM = System(
    name="a loop", latitude_deg=40.0, place="outdoors", heater_set_c=22.0, startup_path="stocked", seeding="pond",
    tanks=(Tank(name="tank", volume_l=900), Tank(name="sump", volume_l=200, kind="sump")),
    beds=(Bed(name="gravel", kind="media", area_m2=1.5), Bed(name="raft", kind="raft", area_m2=2.0)),
    source_water=SourceWater(alkalinity_meq_l=1.5), feed="pellet_32", started_on=START,
)  # fmt: skip
G, L = {"unit": "g"}, {"unit": "L"}
# day, kind, what happened, and what somebody first wrote instead
STORY = [
    (0, "fish_in", {"species": "nile_tilapia", "count": 15, "weight": G | {"value": 40}, "group": "tilapia"},
     {"species": "common_carp_koi", "count": 60, "weight": G | {"value": 4}, "group": "tilapia"}),
    (1, "planted", {"crop": "lettuce_loose", "count": 20, "bed": "raft"},
     {"crop": "basil", "count": 2, "bed": "gravel"}),
    (2, "feeding", {"feed": "pellet_32", "amount": G | {"value": 12}},
     {"feed": "pellet_45", "amount": G | {"value": 120}}),
    (3, "dosed", {"substance": "potassium_bicarbonate", "amount": G | {"value": 30}},
     {"substance": "ammonium_chloride", "amount": G | {"value": 3}}),
    (4, "water_changed", {"volume": L | {"value": 150}}, {"volume": L | {"value": 800}}),
    (5, "topped_up", {"volume": L | {"value": 30}}, {"volume": L | {"value": 3}, "source": "rain"}),
    (7, "temperature", {"value": 19.0}, {"value": 29.0}),
    (8, "cleaned", {"what": "gravel", "fraction": 0.5}, {"what": "sump"}),
    (9, "fish_weighed", {"group": "tilapia", "count": 3, "total": G | {"value": 140}},
     {"group": "tilapia", "count": 3, "total": G | {"value": 1400}}),
    (10, "fish_died", {"group": "tilapia", "count": 1}, {"group": "tilapia", "count": 9, "removed": False}),
    (11, "feed_changed", {"feed": "pellet_45"}, {"feed": "pellet_36"}),
    (12, "outage", {"until": "2025-04-13T15:00:00Z"}, {"until": "2025-04-14T15:00:00Z"}),
    (14, "equipment_stopped", {"equipment": "air"}, {"equipment": "pump"}),
    (15, "equipment_started", {"equipment": "air"}, {"equipment": "pump"}),
    (20, "picked", {"planting": str(UUID(int=1)), "count": 5}, {"planting": str(UUID(int=1)), "finished": True}),
    (22, "fish_out", {"group": "tilapia", "count": 2}, {"group": "tilapia", "count": 12}),
    (24, "removed", {"planting": str(UUID(int=1)), "count": 4}, {"planting": str(UUID(int=1))}),
]  # fmt: skip


def entry(number, day, kind, payload, **more):
    at = datetime(2025, 4, 1, 9, tzinfo=UTC) + timedelta(days=day)
    return LogEntry(uuid=UUID(int=number), at=at, recorded_at=more.pop("recorded_at", at), kind=kind, payload=payload,
                    **more)  # fmt: skip


LOG = [entry(i, day, kind, right) for i, (day, kind, right, _) in enumerate(STORY)]


def run(log=LOG, **how):
    return engine.forecast(SYSTEM, log, **({"on": START + timedelta(days=26), "horizon_days": 6, "members": 5} | how))


def same(a, b):
    return all(np.array_equal(a.columns[n], b.columns[n]) for n in a.columns) and np.array_equal(
        a.completion, b.completion, equal_nan=True
    )


@pytest.fixture(scope="module")
def told():
    return run()


@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_writing_changes_nothing(told, seed):
    shuffled = random.Random(seed).sample(LOG, len(LOG))
    assert [e.uuid for e in shuffled] != [e.uuid for e in LOG]
    again = run(shuffled)
    assert same(again, told)
    assert again.digest == told.digest


@pytest.mark.parametrize("number", range(len(STORY)), ids=[kind for _, kind, _, _ in STORY])
def test_a_mistake_put_right_was_never_made(told, number):
    day, kind, right, wrong = STORY[number]
    mistaken = [*LOG[:number], entry(number, day, kind, wrong), *LOG[number + 1 :]]
    assert not same(run(mistaken), told)  # it would have mattered
    later = LOG[number].at + timedelta(days=3)
    put_right = entry(99, day, kind, right, recorded_at=later, supersedes=UUID(int=number))
    assert same(run([put_right, *mistaken]), told)


def test_an_entry_taken_back_was_never_made(told):
    extra = entry(50, 6, "dosed", STORY[3][3])
    assert not same(run([*LOG, extra]), told)
    back = entry(51, 6, "withdrawn", {}, recorded_at=extra.at + timedelta(days=1), supersedes=extra.uuid)
    assert same(run([back, *LOG, extra]), told)


def test_members_are_the_same_in_chunks_of_any_size():
    whole = run(members=9)
    for size in (1, 2, 4, 9):
        for first in range(0, 9, size):
            chunk = run(members=min(size, 9 - first), first_member=first)
            for name, value in chunk.columns.items():
                np.testing.assert_array_equal(value, whole.columns[name][:, first : first + size], err_msg=name)


def test_a_member_short_of_water_fills_up_alone():
    dry = [entry(1, 1, "topped_up", {"volume": L | {"value": 1}})]  # a log that has top-ups is believed
    how = {"on": START + timedelta(days=75), "horizon_days": 0}
    whole = run(dry, members=12, **how)
    filled = whole.columns["topup_l_day"] > 50.0
    assert filled.any()
    assert not (filled.any(axis=1) == filled.all(axis=1)).all()  # not all on the same day
    for first in range(0, 12, 3):
        chunk = run(dry, members=3, first_member=first, **how)
        for name, value in chunk.columns.items():
            np.testing.assert_array_equal(value, whole.columns[name][:, first : first + 3], err_msg=name)
