"""Server time of the pages of every day over ten years of log, its answer being stored.

Run with ``python -m benchmarks.today`` from the root of the checkout (about a minute). The loop is made up: one feeding
a day, five readings and one observation a week. "Known" is a server that has answered before and has read the log;
"after an entry" is the first page after something was written; "cold" is a server that has just started.
"""

from __future__ import annotations

import os
import platform
import statistics
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock_time
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

YEARS, MEMBERS, TIMES, WANTED_MS = 10, 50, 60, 100.0
START = date(2021, 3, 1)
ON = START + timedelta(days=365 * YEARS)
PATHS = (
    "/", "/water", "/log", "/fish", "/trouble", "/nutrients", "/beds", "/startup", "/oxygen", "/doses", "/source-water",
    "/upkeep", "/calendar", "/what-if", "/trust", "/setup",
)  # fmt: skip
KITS = {"tan": ("n", "mg/L", 0.2), "no2": ("n", "mg/L", 0.1), "no3": ("n", "mg/L", 30.0), "ph": (None, "", 6.8)}
SYSTEM = {
    "name": "Ten years", "latitude_deg": 40.0, "place": "greenhouse", "startup_path": "running", "seeding": "mature",
    "tanks": [{"name": "tank", "volume_l": 1300}], "beds": [{"name": "bed", "kind": "media", "area_m2": 4.0}],
    "feed": "pellet_32", "heater_set_c": 24, "started_on": START,
}  # fmt: skip


def story() -> Iterator[dict[str, Any]]:
    """Entries of ten years, without uuid."""
    begun = datetime.combine(START, clock_time(), UTC)
    yield {"at": begun, "kind": "set_up", "payload": {"system": SYSTEM}}
    fish = {"species": "nile_tilapia", "count": 25, "weight": {"value": 100, "unit": "g"}}
    for day in range(365 * YEARS):
        at = begun + timedelta(days=day, hours=8)
        if day % 365 == 0:
            if day:
                yield {"at": at, "kind": "fish_out", "payload": {"group": f"{day // 365}", "count": 25}}
            yield {"at": at, "kind": "fish_in", "payload": fish | {"group": f"{day // 365 + 1}"}}
        fed = {"feed": "pellet_32", "amount": {"value": 60, "unit": "g"}}
        yield {"at": at, "kind": "feeding", "payload": fed}
        if day % 7 == 0:
            for quantity, (basis, unit, value) in KITS.items():
                told = {"quantity": quantity, "low": value, "high": value, "unit": unit} | (
                    {"basis": basis} if basis else {}
                )
                yield {"at": at, "kind": "reading", "payload": told}
            yield {"at": at, "kind": "temperature", "payload": {"value": 24.0}}
            yield {"at": at, "kind": "note", "payload": {"text": "screens rinsed"}}


def stored() -> tuple[Any, Any]:
    """Store the story and its answer; gives the loop and whoever keeps it."""
    from django.contrib.auth.models import User

    from rillbed.garden.log import LogEntry
    from rillbed.web import bridge, clock
    from rillbed.web.forecasts import store
    from rillbed.web.frame.loops import keep
    from rillbed.web.log.models import LogRow, Loop

    clock.pretend(ON)
    loop, person = Loop.objects.create(name="Ten years"), User.objects.create(username="keeper")
    keep(loop, person)
    rows = []
    for n, told in enumerate(story()):
        one = LogEntry.make(told | {"uuid": UUID(int=n + 1), "author": "keeper"})
        values = {field: getattr(one, field) for field in bridge.FIELDS}
        rows.append(LogRow(loop=loop, **values | {"payload": one.payload.model_dump(mode="json")}))
    LogRow.objects.bulk_create(rows, batch_size=500)
    store.QUICK_MEMBERS = MEMBERS
    began = time.perf_counter()
    store.work_out(loop, ON, "quick")
    print(f"{len(rows)} entries; their first answer took {time.perf_counter() - began:.0f} s to work out")
    return loop, person


def timed(client: Any, path: str) -> float:
    """Milliseconds of one page."""
    began = time.perf_counter()
    answer = client.get(path)
    spent = 1000 * (time.perf_counter() - began)
    assert answer.status_code == 200, (path, answer.status_code)
    return spent


def p95(spent: list[float]) -> float:
    """Return the time that 19 of 20 pages keep."""
    return statistics.quantiles(spent, n=20)[-1]


def main() -> int:
    """Print the table; 1 if Today takes longer than wanted."""
    from django.test import Client

    from rillbed.web import bridge
    from rillbed.web.forecasts import store, worker

    loop, person = stored()
    worker.wait_for = lambda *_: True  # nobody works here: there would be nothing to wait for
    client = Client(headers={"accept-language": "en-GB", "accept-encoding": "gzip"}, SERVER_NAME="127.0.0.1")
    client.force_login(person)
    print(f"{platform.machine()}, Python {platform.python_version()}\n")
    print(f"{'ms':>14}{'cold':>10}{'after an entry':>16}{'known, p50':>12}{'p95':>8}")
    missed = 0
    for path in PATHS:
        bridge._logs.clear()
        cold = timed(client, path)
        note = bridge.written(
            uuid=UUID(int=10**9 + PATHS.index(path)), at=datetime.combine(ON, clock_time(9), UTC), author="keeper",
            kind="note", payload={"text": "looked"},
        )  # fmt: skip
        bridge.store(loop, note)
        store.StoredForecast.objects.update(upto=store.last_row(loop))
        after = timed(client, path)
        spent = [timed(client, path) for _ in range(TIMES if path == "/" else TIMES // 3)]
        print(f"{path:>14}{cold:10.0f}{after:16.0f}{statistics.median(spent):12.0f}{p95(spent):8.0f}")
        missed += path == "/" and p95(spent) > WANTED_MS
    return int(bool(missed))


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        os.environ["RILLBED_DATA"] = folder
        from rillbed.web.launch import prepare, settle

        prepare()
        settle()
        sys.exit(main())
