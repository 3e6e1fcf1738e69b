"""Take in many spoiled files: no fault of ours, nothing stored by half. ``python benchmarks/imports.py 10000``."""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from datetime import date
from uuid import uuid4


def main(number: int) -> int:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["RILLBED_DATA"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "rillbed.web.settings"
        import django
        from django.core.management import call_command

        django.setup()
        call_command("migrate", verbosity=0)
        return run(number)


def run(number: int) -> int:
    from benchmarks.spoil import spoiled
    from django.contrib.auth.models import User
    from django.db import transaction

    from rillbed.garden.example import load
    from rillbed.garden.exchange.archive import packed, unpacked
    from rillbed.web.exchange.take import take_in
    from rillbed.web.log.models import Keeper, LogRow, Loop

    person = User.objects.create_user("you")
    system, log = load(date(2031, 5, 22))
    few = [
        one for n, one in enumerate(log) if n % 12 == 0 and one.kind in ("reading", "temperature", "feeding", "note")
    ]
    dice, seen, start = random.Random(20310522), {"taken in": 0, "refused": 0}, time.perf_counter()

    def tables() -> tuple[int, int, int]:
        return Loop.objects.count(), Keeper.objects.count(), LogRow.objects.count()

    from rillbed.web import clock

    clock.pretend(date(2031, 5, 23))
    for _ in range(number):
        data = packed(system, [one.model_copy(update={"uuid": uuid4()}) for one in few], "0")
        before = tables()
        with transaction.atomic():
            taken = take_in(unpacked(spoiled(data, dice), "x"), person, None, "x", dry=False)
            after = tables()
            if taken.faults:
                assert after == before, taken
            else:
                assert after == (before[0] + 1, before[1] + 1, before[2] + taken.stored), taken
            transaction.set_rollback(True)  # so that the tables stay small
        seen["refused" if taken.faults else "taken in"] += 1
    print(f"{number} spoiled files in {time.perf_counter() - start:.0f} s: {seen}, no fault, none by half")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10000))
