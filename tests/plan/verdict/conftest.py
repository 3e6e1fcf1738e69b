from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan import verdict

START = date(2031, 4, 1)
ON = START + timedelta(days=20)


@pytest.fixture
def on():
    return ON


@pytest.fixture
def loop():
    """A made-up heated loop with fish in it; keywords replace fields."""

    def build(**changes):
        fields = {
            "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "startup_path": "running",
            "tanks": [{"name": "tank", "volume_l": 900}], "started_on": START, "heater_set_c": 25,
        }  # fmt: skip
        return System.make(fields | changes)

    return build


@pytest.fixture
def entry():
    """Log entries with numbers for uuids; `day` counts from the start."""
    count = iter(range(1, 10_000))

    def build(kind, day=20, hour=9, **payload):
        at = datetime.combine(START, datetime.min.time(), UTC) + timedelta(days=day, hours=hour)
        return LogEntry.make(
            {"uuid": UUID(int=next(count)), "at": at, "author": "somebody", "kind": kind, "payload": payload}
        )

    return build


UNITS = {"alkalinity": "meq/L", "gh": "meq/L", "ph": "", "ec": "mS/cm"}


@pytest.fixture
def read(entry):
    """A reading of an interval as N, or as the element."""

    def build(quantity, low, high, day=20, hour=9, **more):
        if quantity == "temperature":
            return entry("temperature", day, hour, value=low, low=low, high=high, **more)
        fields = {"unit": UNITS.get(quantity, "mg/L"), "basis": "n"} | more
        return entry("reading", day, hour, quantity=quantity, low=low, high=high, **fields)

    return build


@pytest.fixture
def fish(entry):
    def build(species, count=10, weight_g=100.0):
        return entry("fish_in", 1, species=species, count=count, weight={"value": weight_g, "unit": "g"})

    return build


@pytest.fixture
def judged(loop):
    def build(*log, system=None, forecast=None, on=ON, seen=()):
        return verdict.judge(system or loop(), log, forecast, on=on, facts_seen=seen)

    return build
