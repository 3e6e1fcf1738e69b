from datetime import UTC, date, datetime
from types import SimpleNamespace
from uuid import uuid4

import pytest
from django.core.cache import cache
from tests import tongues

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

STARTED = date(2031, 4, 1)
KITS = [
    {"name": "ammonia card", "quantity": "tan", "unit": "mg/L", "basis": "n", "steps": [0, 0.1, 0.2, 0.5, 1, 2, 5]},
    {"name": "nitrite card", "quantity": "no2", "unit": "mg/L", "basis": "n", "steps": [0, 0.1, 0.2, 0.5, 1, 2]},
    {"name": "pH card", "quantity": "ph", "unit": "", "steps": [6, 6.5, 7, 7.5, 8, 8.5], "wait_minutes": 5},
]


def made_up_system(**more: object) -> System:
    """A small made-up loop that is being started."""
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 900}],
            "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}],
            "kits": KITS,
            "started_on": STARTED,
        }
        | more
    )


def keeper(name: str = "keeper"):
    """The person of the tests, made on first use."""
    from django.contrib.auth.models import User

    return User.objects.get_or_create(username=name)[0]


def made_up_loop(system: System, person=None):
    """Store a system as the first entry of a new loop of a person."""
    # Models can only be imported once Django is configured, which is after this file is read.
    from rillbed.web import bridge
    from rillbed.web.frame.loops import keep
    from rillbed.web.log.models import Loop

    loop = Loop.objects.create(name=system.name)
    keep(loop, person or keeper())
    at = datetime.combine(system.started_on, datetime.min.time(), UTC)
    bridge.add(loop, LogEntry.make({"uuid": uuid4(), "at": at, "kind": "set_up", "payload": {"system": system}}))
    return loop


def days_away(loop, on: date) -> int:
    """Work out the days away that somebody asked about, as the worker does; how many there were."""
    from rillbed.web.forecasts import aways

    done = 0
    while aways.due(loop, on):
        aways.work_out(loop, on)
        done += 1
    return done


@pytest.fixture(scope="session")
def marks(tmp_path_factory):
    """Texts of every page in a made-up language, compiled once."""
    folder = tmp_path_factory.mktemp("locale")
    tongues.pseudo(folder)
    return folder


@pytest.fixture
def made_up():
    """The makers above and the day the made-up loop started."""
    return SimpleNamespace(
        system=made_up_system, loop=made_up_loop, keeper=keeper, started=STARTED, days_away=days_away
    )


@pytest.fixture(autouse=True)
def _fresh_cache():
    from rillbed.web import bridge

    cache.clear()
    bridge._logs.clear()  # keys of rows come again from test to test
