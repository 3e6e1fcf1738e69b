"""What to do now."""

from __future__ import annotations

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rillbed.web import bridge, clock
from rillbed.web.forecasts import store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.today.page import page

WAIT_S = 1.0
AGAIN_S = 2
FULL_S = 10  # a first answer is there already


@needs_loop
def today(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what to do; an older forecast with its age while a new one is being worked out."""
    log = bridge.entries(loop)
    system, now = bridge.standing_system(loop), clock.now()
    on = system.day_of(now)
    fresh = worker.wait_for(loop, on, WAIT_S)
    answer = store.latest(loop, on)
    context: dict[str, object] = {"problem": answer.problem, "undo": uuid4()}
    if answer.today is not None:
        context["page"] = page(system, bridge.first_system(log), log, answer, now)
    response = render(request, "today/today.html", context)
    if not fresh and worker.running():
        # A header, not a tag: it works without scripts, and only until the new forecast is there.
        response["Refresh"] = str(FULL_S if answer.quick else AGAIN_S)
    return response
