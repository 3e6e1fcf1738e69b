"""How workers hear that something changed, that they should stop, and of each other."""

from __future__ import annotations

import logging
import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING

from django.db import connection, connections

from rillbed.web.forecasts.jobs import from_now

if TYPE_CHECKING:
    from rillbed.web.forecasts.models import Worker

CHANNEL = "rillbed_work"
LIVES_S = 60.0  # silent for longer than this counts as gone
BURIED_S = 86400.0
stopping = threading.Event()
log = logging.getLogger(__name__)


def call(lane: int) -> None:
    """Call the workers of all hosts; they hear it once what was written can be seen."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_notify(%s, %s)", [CHANNEL, str(lane)])


def listen(events: Sequence[threading.Event]) -> None:
    """Set the event of a lane whenever it is called, until the worker stops."""
    while not stopping.is_set():
        ears = connections.create_connection("default")  # of its own: it waits in the database
        try:
            with ears.cursor() as cursor:
                cursor.execute(f"LISTEN {CHANNEL}")
            for event in events:
                event.set()  # what was called before anybody listened
            while not stopping.is_set():
                for heard in ears.connection.notifies(timeout=1.0):
                    if heard.payload.isdigit() and int(heard.payload) < len(events):
                        events[int(heard.payload)].set()
                    if stopping.is_set():
                        break
        except Exception:
            # The lanes look around by themselves every minute.
            log.exception("the database cannot be listened to")
            stopping.wait(5.0)
        finally:
            ears.close()


def living(workers: type[Worker]) -> list[str]:
    """Names of the workers that said of late that they live."""
    seen = workers.objects.filter(seen_at__gt=from_now(-LIVES_S))
    return list(seen.order_by("name").values_list("name", flat=True))


def bury(workers: type[Worker]) -> None:
    """Forget workers that are gone for a day."""
    workers.objects.filter(seen_at__lt=from_now(-BURIED_S)).delete()
