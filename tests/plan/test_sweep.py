"""Many changes at once: the same answers from a pool of processes and from a cluster as one after the other."""

from concurrent.futures import ProcessPoolExecutor
from datetime import date
from multiprocessing import get_context

import pytest

from rillbed.fit import fit
from rillbed.garden.change import Change
from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import fitted
from rillbed.plan.sweep import sweep

STARTED, ON = date(2031, 3, 1), date(2031, 3, 25)
CHANGES = [Change.make({"name": f"{share:g} of the feed", "feed_share": share}) for share in (0.25, 0.5, 1.5)]


@pytest.fixture(scope="module")
def loop():
    system = System.make(
        {
            "name": "made up", "latitude_deg": 40.0, "place": "greenhouse", "started_on": STARTED,
            "startup_path": "running", "heater_set_c": 24, "feed": "pellet_32",
            "tanks": [{"name": "tank", "volume_l": 800}],
            "beds": [{"name": "bed", "kind": "media", "area_m2": 2.0}],
        }
    )  # fmt: skip
    came = {"species": "nile_tilapia", "count": 20, "weight": {"value": 100, "unit": "g"}, "group": "fish"}
    read = {"quantity": "no3", "low": 15, "high": 30, "unit": "mg/L", "basis": "n"}
    told = [("fish_in", "2031-03-01", came), ("reading", "2031-03-20", read)]
    log = [
        LogEntry.make({"uuid": f"{n:032d}", "at": f"{day}T08:00:00Z", "author": "k", "kind": kind, "payload": payload})
        for n, (kind, day, payload) in enumerate(told)
    ]
    return system, log, fitted(system, log, on=ON, members=20, budget="quick")


def swept(loop, executor=None):
    system, log, posterior = loop
    return sweep(system, log, CHANGES, ON, posterior=posterior, horizon_days=28, members=20, executor=executor)


def test_each_change_is_answered_in_order(loop) -> None:
    found = swept(loop)
    assert [one.name for one in found] == [change.name for change in CHANGES]
    fed = [next(item for item in one.effects if item.column == "feed_g_day").changed.middle for one in found]
    assert fed == sorted(fed)
    with pytest.raises(GardenError):
        sweep(*loop[:2], [Change.make({"name": "none", "remove_beds": ["no such bed"]})], ON, posterior=loop[2])


def test_a_pool_of_processes_gives_the_same(loop) -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        assert swept(loop, pool) == swept(loop)
        system, log, _ = loop
        split = fit(system, log, on=ON, members=20, budget="quick", executor=pool)
    assert split.digest == fit(system, log, on=ON, members=20, budget="quick").digest


def test_a_cluster_gives_the_same(loop, tmp_path) -> None:
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None, local_directory=str(tmp_path)
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        assert swept(loop, client.get_executor(pure=False)) == swept(loop)
