"""Serve a made-up small loop with fish, plants and a keeper who signs in with a phrase; used by the browser tests."""

from __future__ import annotations

import sys
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

sys.path.insert(0, str(Path(__file__).parent))
from startup_loop import SYSTEM

from rillbed.garden.system import System
from rillbed.web import launch

if TYPE_CHECKING:
    from django.contrib.auth.models import User

STARTED, DAYS = date(2031, 4, 1), 9
STOCKED = SYSTEM | {"startup_path": "running", "seeding": "mature", "feed": "pellet_36", "meals_per_day": 2}
ENTRIES = (
    ("set_up", {"system": System.make(STOCKED)}),
    ("fish_in", {"species": "common_carp_koi", "count": 8, "weight": {"value": 60, "unit": "g"}, "group": "carp"}),
    ("planted", {"crop": "lettuce_butterhead", "count": 12, "bed": "bed"}),
)
CLEAN = {"tan": (0, 0.05), "no2": (0, 0.05), "no3": (8, 15)}  # read on the last day, mg/L as N


def keeper() -> User:
    """Make the loop and its keeper; data that were restored have them already."""
    from django.contrib.auth.models import User

    from rillbed.web import bridge, clock
    from rillbed.web.frame.loops import keep
    from rillbed.web.log.models import Loop

    if known := User.objects.filter(username="keeper").first():
        return known
    loop = Loop.objects.create(name="Made-up loop")
    begun = datetime.combine(STARTED, time(8), clock.now().tzinfo)
    logged = [(begun + timedelta(minutes=n), kind, payload) for n, (kind, payload) in enumerate(ENTRIES)]
    for quantity, (low, high) in CLEAN.items():
        read = {"quantity": quantity, "low": low, "high": high, "unit": "mg/L", "basis": "n"}
        logged.append((clock.now(), "reading", read))
    for at, kind, payload in logged:
        bridge.add(loop, bridge.written(uuid=uuid4(), at=at, author="keeper", kind=kind, payload=payload))
    person = User.objects.create_user("keeper", password="four plain words here")
    keep(loop, person)
    return person


def main(port: int) -> None:
    """Answer until stopped."""
    application = launch.prepare()
    from rillbed.web import clock
    from rillbed.web.people import links

    clock.pretend(STARTED + timedelta(days=DAYS))
    person = keeper()
    launch.run(application, "127.0.0.1", port, lambda address: print(address + links.entry_path(person), flush=True))


if __name__ == "__main__":
    main(int(sys.argv[1]))
