"""The fish of a loop, from the last forecast."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.fold import state_at
from rillbed.web import bridge, clock
from rillbed.web.fish.page import page
from rillbed.web.forecasts import store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop

WAIT_S, AGAIN_S, FULL_S = 1.0, 2, 10


@require_safe
@needs_loop
def fish(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the fish."""
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    on = clock.today(system)
    fresh = worker.wait_for(loop, on, WAIT_S)
    answer = store.latest(loop, on)
    state = state_at(bridge.first_system(log), log, on)
    context = {"page": page(system, log, state, answer, on), "problem": answer.problem}
    response = render(request, "fish/fish.html", context)
    if not fresh and worker.running():
        response["Refresh"] = str(FULL_S if answer.quick else AGAIN_S)  # as on Today: a header works without scripts
    return response
