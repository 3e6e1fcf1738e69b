from datetime import UTC, date, datetime, timedelta
from uuid import UUID, uuid5

import pytest

from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import AmmoniaSource, Bed, System, Tank

START = date(2025, 4, 1)
SPACE = UUID("6ba7b810-9dad-11d1-80b4-00c04fd430c8")
STEPS = {
    "tan": (0, 0.1, 0.2, 0.5, 1, 2, 5),
    "no2": (0, 0.1, 0.2, 0.5, 1, 2, 5),
    "no3": (0, 2, 5, 10, 20, 50, 100),
}
KITS = tuple(Kit(name=q, quantity=q, unit="mg/L", basis="n", steps=s) for q, s in STEPS.items())


def loop(**changes):
    plain = {
        "name": "fitted", "latitude_deg": 45.0, "place": "indoors", "heater_set_c": 24.0,
        "tanks": (Tank(name="tank", volume_l=1000.0),),
        "beds": (Bed(name="bed", kind="media", area_m2=2.0, water_depth_cm=15),), "kits": KITS, "started_on": START,
        "aeration": "cascade", "ammonia_source": AmmoniaSource(source="ammonium_chloride"),
    }  # fmt: skip
    return System(**(plain | changes))


def entry(day, kind, payload, *, hour=9.0, author="me", tag="", supersedes=None):
    at = datetime(START.year, START.month, START.day, tzinfo=UTC) + timedelta(days=day, hours=hour)
    uuid = uuid5(SPACE, f"{day}{kind}{payload}{hour}{author}{tag}")
    return LogEntry(uuid=uuid, at=at, author=author, kind=kind, payload=payload, supersedes=supersedes)


def reading(day, quantity, step, *, kit=None, **how):
    kit = kit or next(k for k in KITS if k.quantity == quantity)
    return entry(day, "reading", Reading.of_step(kit, step).model_dump(), **how)


def dose(day, grams, **how):
    return entry(day, "dosed", {"substance": "ammonium_chloride", "amount": {"value": grams, "unit": "g"}}, **how)


@pytest.fixture(scope="session")
def startup():
    """A start-up whose ammonia falls from day 8: the log of ten days."""
    system = loop()
    log = [dose(0, 10.0, hour=10.0)]
    for day, tan, no2, no3 in ((1, 2, 0, 0), (4, 2, 0.1, 0), (6, 2, 0.5, 0), (8, 1, 1, 2), (10, 0.2, 2, 2)):
        log += [reading(day, "tan", tan), reading(day, "no2", no2), reading(day, "no3", no3)]
    return system, log
