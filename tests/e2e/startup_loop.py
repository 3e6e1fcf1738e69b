"""Serve a made-up loop in its second week of starting, with the keeper's log so far; used by the browser test."""

from __future__ import annotations

import sys
from datetime import date, timedelta
from uuid import uuid4

from rillbed.garden.system import System
from rillbed.web import launch

STARTED, DAYS = date(2031, 4, 1), 9
CARD = (0, 0.1, 0.2, 0.5, 1, 2, 5)
KITS = [
    {"name": "Ammonia drops", "quantity": "tan", "unit": "mg/L", "basis": "n", "steps": CARD, "wait_minutes": 5},
    {"name": "Nitrite drops", "quantity": "no2", "unit": "mg/L", "basis": "n", "steps": CARD},
    {"name": "Nitrate drops", "quantity": "no3", "unit": "mg/L", "basis": "n", "steps": (0, 1, 2, 5, 10, 20, 50, 100)},
    {"name": "pH drops", "quantity": "ph", "unit": "", "steps": (6, 6.5, 7, 7.5, 8, 8.5)},
    {"name": "Alkalinity drops", "quantity": "alkalinity", "unit": "dKH", "steps": tuple(range(13))},
    {"name": "Potassium strip", "quantity": "k", "kind": "strip", "unit": "mg/L", "steps": (0, 5, 10, 20, 50, 100)},
]
SYSTEM = {
    "name": "Made-up loop",
    "latitude_deg": 43.6,
    "place": "indoors",
    "heater_set_c": 24,
    "tanks": [{"name": "tank", "volume_l": 900}],
    "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 20}],
    "source_water": {"alkalinity_meq_l": 2.0, "ph": 7.6},
    "kits": KITS,
    "ammonia_source": {"source": "ammonium_chloride"},
    "started_on": STARTED,
}


def main(port: int) -> None:
    """Make the loop and the person, then answer until stopped."""
    application = launch.prepare()
    from django.contrib.auth.models import User

    from rillbed.web import bridge, clock
    from rillbed.web.frame.loops import keep
    from rillbed.web.log.models import Loop
    from rillbed.web.people import links

    clock.pretend(STARTED + timedelta(days=DAYS))
    loop = Loop.objects.create(name="Made-up loop")
    begun = clock.now() - timedelta(days=DAYS) + timedelta(minutes=1)
    dose = {"substance": "ammonium_chloride", "amount": {"value": 9, "unit": "g"}}
    for kind, payload in (("set_up", {"system": System.make(SYSTEM)}), ("dosed", dose)):
        bridge.add(loop, bridge.written(uuid=uuid4(), at=begun, author="you", kind=kind, payload=payload))
    person = User.objects.create_user("you")
    keep(loop, person)
    launch.run(application, "127.0.0.1", port, lambda address: print(address + links.entry_path(person), flush=True))


if __name__ == "__main__":
    main(int(sys.argv[1]))
