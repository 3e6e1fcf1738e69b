"""A process that only takes jobs, beside those that answer pages."""

from __future__ import annotations

import signal
import threading

from rillbed.web.launch import load

STOP_S = 8.0  # less than what containers are given to stop
LOOK_S = 2.0


def work() -> None:
    """Take jobs until asked to stop; any number of such processes may run, on any number of hosts.

    Raises
    ------
    ValueError
        If the data lie in one file, or the database cannot be opened.
    """
    load()
    from django.db import connection

    from rillbed.web import database
    from rillbed.web.forecasts import worker

    if connection.vendor != "postgresql":
        raise ValueError(
            f"work: the data lie in one file, {database.place()}, and serve works for it already; "
            f"more workers need PostgreSQL, see {database.VARIABLE}"
        )
    asked = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: asked.set())
    database.reach()
    told = False
    while not asked.is_set() and database.migrations()[1]:
        if not told:
            print("Waiting until rillbed serve has brought the database up to date.", flush=True)
            told = True
        asked.wait(LOOK_S)
    database.refuse_newer()
    worker.start()
    worker.wake()
    print(f"Worker {worker.name} takes jobs from the {database.place()}. Stop with Ctrl-C.", flush=True)
    while not asked.wait(1.0):
        pass
    print("Stopping: what is at hand may come to a point, the rest goes to other workers.", flush=True)
    worker.stop(STOP_S)
