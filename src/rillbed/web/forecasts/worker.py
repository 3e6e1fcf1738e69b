"""The worker beside the pages: it works out what is out of date, so that no page waits for a long run.

Planting plans, and days away that somebody asks about, have a lane of their own: they take seconds each, and a new
reading must not wait behind one.
"""

from __future__ import annotations

import logging
import os
import socket
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from django.db import close_old_connections, connection, transaction
from django.db.models.functions import Now

from rillbed import __version__
from rillbed.garden.errors import GardenError
from rillbed.web import bridge, clock
from rillbed.web.forecasts import aways, calls, jobs, plans, store
from rillbed.web.forecasts.models import Worker
from rillbed.web.log.models import Loop

LOOK_S = 60.0  # a new day begins without anybody pressing anything
BEAT_S = 15.0
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Kind:
    """A kind of job.

    Attributes
    ----------
    name : str
        At most 16 characters.
    rank : int
        0 is done first.
    due : callable
        The digest of the state of a loop that asks for the job, or nothing if it is not due.
    run : callable
        Does it, and stores what it found within `jobs.storing`.
    failed : callable
        Says to whoever waits that it was tried too often.
    """

    name: str
    rank: int
    due: Callable[[Loop, date], str]
    run: Callable[[Loop, date], None]
    failed: Callable[[Loop, date], None]


def _due_first(loop: Loop, on: date) -> str:
    return "" if store.has_first(loop, on) else store.mark(loop, on, "quick")


def _due_full(loop: Loop, on: date) -> str:
    return "" if store.is_fresh(loop, on) else store.mark(loop, on)


def _due_plan(loop: Loop, on: date) -> str:
    wanted = store.is_fresh(loop, on) and not plans.is_fresh(loop, on)
    return f"{store.mark(loop, on)}|{plans.edits(loop)}" if wanted else ""


FORECASTS = (
    Kind(
        "first",
        0,
        _due_first,
        lambda loop, on: store.work_out(loop, on, "quick"),
        lambda loop, on: store.give_up(loop, on, "quick"),
    ),
    Kind("full", 1, _due_full, lambda loop, on: store.work_out(loop, on), lambda loop, on: store.give_up(loop, on)),
)
PLANS = (
    # Somebody looks at a page that waits for it.
    Kind("away", 2, aways.due, aways.work_out, aways.give_up),
    Kind("plan", 3, _due_plan, lambda loop, on: plans.work_out(loop, on), lambda loop, on: None),
)
LANES = (FORECASTS, PLANS)

_wake = tuple(threading.Event() for _ in LANES)
_threads: list[threading.Thread] = []
_claims: dict[int, jobs.Claim] = {}  # held now, by lane
name = ""


def start() -> None:
    """Start the worker of this process, once."""
    global name
    if here():
        return
    name = f"{socket.gethostname()[:50]}:{os.getpid()}"
    calls.stopping.clear()
    _threads[:] = [
        threading.Thread(target=_lane, args=(number,), name=kinds[0].name, daemon=True)
        for number, kinds in enumerate(LANES)
    ]
    _threads.append(threading.Thread(target=_beat, name="beat", daemon=True))
    if connection.vendor == "postgresql":
        _threads.append(threading.Thread(target=calls.listen, args=(_wake,), name="calls", daemon=True))
    for thread in _threads:
        thread.start()


def stop(seconds: float = 0.0) -> None:
    """Take no more jobs, give those at hand so long to come to a point, put them back, and say that one is gone."""
    if not _threads:
        return
    calls.stopping.set()
    for event in _wake:
        event.set()
    until = time.monotonic() + seconds
    for thread in _threads[: len(LANES)]:
        thread.join(max(0.0, until - time.monotonic()))
    for held in list(_claims.values()):
        jobs.put_back(held)
    Worker.objects.filter(name=name).delete()
    _threads.clear()


def here() -> bool:
    """Whether this process has a worker."""
    return bool(_threads) and all(thread.is_alive() for thread in _threads[: len(LANES)])


def running() -> bool:
    """Whether there is a worker: in this process, or one that said a moment ago that it lives."""
    return here() or (connection.vendor == "postgresql" and bool(calls.living(Worker)))


def wake() -> None:
    """Tell the workers that something changed."""
    _wake[0].set()
    calls.call(0)


def plan_again() -> None:
    """Tell the workers that a line of a plan was added or dropped, or that somebody asks about days away."""
    _wake[1].set()
    calls.call(1)


def wait_for(loop: Loop, on: date, seconds: float) -> bool:
    """Wait a moment for at least a first answer; return whether the full one is there."""
    until = time.monotonic() + seconds
    called = False
    while not store.has_first(loop, on) and running() and time.monotonic() < until:
        if not called:
            wake()
            called = True
        time.sleep(0.1)
    return store.is_fresh(loop, on)


def catch_up() -> None:
    """Work out every forecast that is out of date: first answers for all loops, then the full ones."""
    _drain(0)
    plan_again()


def plan_up() -> None:
    """Work out every planting plan that is older than its forecast, and all days away that were asked about."""
    _drain(1)


def ask(kinds: Iterable[Kind], loop: Loop) -> None:
    """Ask for the jobs that are due for a loop."""
    try:
        on = clock.today(bridge.standing_system(loop))
    except GardenError:
        return  # not set up yet
    for kind in kinds:
        if not (digest := kind.due(loop, on)):
            continue
        jobs.ask(loop, kind.name, digest, kind.rank)
        if jobs.ended_long_ago(loop, kind.name, digest):
            with transaction.atomic():
                # Under its lock: whoever ended it just now has stored its answer as well.
                jobs.lock(loop, kind.name, digest)
                if kind.due(loop, on) == digest:
                    jobs.ask_again(loop, kind.name, digest)


def _drain(lane: int) -> None:
    kinds = LANES[lane]
    known = {kind.name: kind for kind in kinds}
    _ask_all(kinds)
    while not calls.stopping.is_set() and (held := jobs.claim(known, name or f"{os.getpid()}")) is not None:
        _claims[lane] = held
        try:
            _do(known[held.job.kind], held)
        finally:
            _claims.pop(lane, None)
        if lane == 0:
            _wake[1].set()
        ask(kinds, held.job.loop)
        if _wake[lane].is_set():
            _wake[lane].clear()
            _ask_all(kinds)


def _ask_all(kinds: Iterable[Kind]) -> None:
    for loop in Loop.objects.order_by("pk"):
        ask(kinds, loop)
    for job in jobs.given_up():
        log.error("job %s of loop %s was begun %s times and never ended", job.kind, job.loop_id, job.tries)
        _by_name[job.kind].failed(job.loop, clock.today(bridge.standing_system(job.loop)))


_by_name = {kind.name: kind for kinds in LANES for kind in kinds}


def _do(kind: Kind, held: jobs.Claim) -> None:
    loop = held.job.loop
    try:
        on = clock.today(bridge.standing_system(loop))
        with jobs.holding(held):
            kind.run(loop, on)
        if not held.ended:
            jobs.end(held)
    except store.Overtaken:
        jobs.drop(held)  # the new entry asks for its own
    except jobs.GiveWay:
        jobs.put_back(held)
    except jobs.Lost:
        log.warning("job %s of loop %s was taken over by another worker", kind.name, loop.pk)
    except Exception:
        if not held.ended:
            jobs.put_back(held, tried=True)
        raise


def _lane(number: int) -> None:
    while not calls.stopping.is_set():
        _wake[number].wait(LOOK_S)
        _wake[number].clear()
        try:
            close_old_connections()
            _drain(number)
        except Exception:
            # One bad loop or a locked file must not end the worker; the page shows the age of what it has.
            log.exception("%s failed", LANES[number][0].name)
            calls.stopping.wait(1.0)
        finally:
            connection.close()


def _beat() -> None:
    """Say again and again that the worker lives, and hold its jobs."""
    while not calls.stopping.is_set():
        try:
            close_old_connections()
            beat()
        except Exception:
            log.exception("beat failed")
        calls.stopping.wait(BEAT_S)
    connection.close()


def beat() -> None:
    """Say that the worker lives, and hold its jobs for another while."""
    values = {"version": __version__, "seen_at": Now()}
    Worker.objects.update_or_create(name=name, defaults=values, create_defaults=values | {"started_at": Now()})
    calls.bury(Worker)
    jobs.renew(held.token for held in list(_claims.values()))
