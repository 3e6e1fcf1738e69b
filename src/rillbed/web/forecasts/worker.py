"""The worker beside the pages: it works out what is out of date, so that no page waits for a long run.

Planting plans have a thread of their own: they take ten seconds, and a new reading must not wait behind one.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Iterator
from datetime import date

from django.db import close_old_connections, connection

from rillbed.garden.errors import GardenError
from rillbed.web import bridge, clock
from rillbed.web.forecasts import plans, store
from rillbed.web.log.models import Loop

LOOK_S = 60.0  # a new day begins without anybody pressing anything
log = logging.getLogger(__name__)
_wake = threading.Event()
_plan_now = threading.Event()
_running: threading.Thread | None = None


def start() -> None:
    """Start the worker of this process, once."""
    global _running
    if not running():
        _running = threading.Thread(target=_work, name="forecasts", daemon=True)
        _running.start()
        threading.Thread(target=_plan, name="plans", daemon=True).start()


def running() -> bool:
    """Whether this process has a worker."""
    return _running is not None and _running.is_alive()


def wake() -> None:
    """Tell the worker that something changed."""
    _wake.set()


def plan_again() -> None:
    """Tell the thread of the plans that a line was added or dropped."""
    _plan_now.set()


def wait_for(loop: Loop, on: date, seconds: float) -> bool:
    """Wait a moment for at least a first answer; return whether the full one is there."""
    until = time.monotonic() + seconds
    while not store.has_first(loop, on) and running() and time.monotonic() < until:
        wake()
        time.sleep(0.1)
    return store.is_fresh(loop, on)


def catch_up() -> None:
    """Work out every forecast that is out of date: first answers for all loops, then the full ones."""
    while True:
        behind = list(_behind())
        for loop, on in behind:
            if not store.has_first(loop, on):
                store.work_out(loop, on, "quick")
        try:
            for loop, on in behind:
                store.work_out(loop, on)
        except store.Overtaken:
            continue
        _plan_now.set()
        return


def plan_up() -> None:
    """Work out every planting plan that is older than its forecast."""
    for loop in Loop.objects.order_by("pk"):
        try:
            on = clock.today(bridge.standing_system(loop))
        except GardenError:
            continue
        if store.is_fresh(loop, on) and not plans.is_fresh(loop, on):
            plans.work_out(loop, on)


def _behind() -> Iterator[tuple[Loop, date]]:
    for loop in Loop.objects.order_by("pk"):
        try:
            on = clock.today(bridge.standing_system(loop))
        except GardenError:
            continue  # not set up yet
        if not store.is_fresh(loop, on):
            yield loop, on


def _work() -> None:
    _again(_wake, catch_up, "forecast failed")


def _plan() -> None:
    _again(_plan_now, plan_up, "plan failed")


def _again(asked: threading.Event, do: Callable[[], None], failed: str) -> None:
    while True:
        asked.wait(LOOK_S)
        asked.clear()
        try:
            close_old_connections()
            do()
        except Exception:
            # One bad loop or a locked file must not end the worker; the page shows the age of what it has.
            log.exception(failed)
            time.sleep(1.0)
        finally:
            connection.close()
