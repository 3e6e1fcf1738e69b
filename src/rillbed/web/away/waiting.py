"""What a page says while days away are being worked out beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.http import HttpResponse

from rillbed.web.forecasts import store, worker
from rillbed.web.forecasts.aways import Asked
from rillbed.web.log.models import Loop

AGAIN_S = 3
OLD_S = 30  # there is something to read already


@dataclass(frozen=True)
class Waiting:
    """How far it is: parts done, whether the log is read, an older answer shown, and the page looks again by itself."""

    done: int
    of: int
    read: bool
    old: bool
    again: bool


def waiting(loop: Loop, on: date, asked: Asked) -> Waiting | None:
    """Call the worker if something is still to come; None if nothing is."""
    if not asked.waits:
        return None
    if read := store.is_fresh(loop, on):
        worker.plan_again()
    else:
        worker.wake()
    return Waiting(asked.fresh, asked.of, read, len(asked.rows) == asked.of, worker.running())


def looking_again(response: HttpResponse, waits: Waiting | None) -> HttpResponse:
    """Let the browser ask again, by a header, until all is there."""
    if waits is not None and waits.again:
        response["Refresh"] = str(OLD_S if waits.old else AGAIN_S)
    return response
