"""Where the start-up stands and what is next."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rillbed.garden.fold import state_at
from rillbed.plan.look import until
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.startup.page import page
from rillbed.web.startup.running import running
from rillbed.web.startup.stages import PATHS

WAIT_S = 1.0
AGAIN_S = 2
FULL_S = 10  # a first answer is there already


@needs_loop
def startup(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the start-up; of a loop that runs already, say so."""
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    on = clock.today(system)
    fresh = worker.wait_for(loop, on, WAIT_S)
    answer = store.latest(loop, on)
    context: dict[str, object] = {
        "problem": answer.problem,
        "worked_out": answer.today is not None,
        "paths": [(path, path.key == system.startup_path) for path in PATHS],
    }
    first = bridge.first_system(log)
    context["page"] = page(system, first, log, answer, on)
    if context["page"] is None and answer.today is not None:
        context["running"] = running(first, until(system, log, on), state_at(first, log, on), answer.carried)
    response = render(request, "startup/startup.html", context)
    if not fresh and worker.running():
        response["Refresh"] = str(FULL_S if answer.quick else AGAIN_S)  # as on Today: a header works without scripts
    return response
