"""Nutrients and leaves, from the log and the near part of the last forecast."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.log import LogEntry
from rillbed.plan.elements.answer import nutrients
from rillbed.plan.elements.given import given_today
from rillbed.plan.elements.supplements import Supplements
from rillbed.plan.elements.symptoms import SIGNS, judge
from rillbed.web import bridge, clock
from rillbed.web.dosing.page import Log
from rillbed.web.forecasts import ahead, store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.nutrients.leaf import asked, crops, heading, leaf
from rillbed.web.nutrients.page import page

AGAIN_S = 3
FULL_S = 30  # there is something to read already


@require_safe
@needs_loop
def nutrients_page(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what to add, what runs short next, and the books."""
    log = bridge.entries(loop)
    first = bridge.first_system(log)
    on = clock.today(bridge.standing_system(loop))
    forecast = ahead.ahead_of(loop, on, store.made_with())
    shown = None
    if forecast is not None:
        found = nutrients(first, log, forecast, on)
        shown = page(found, loop.pk, on, _known(found.doses, log, on))
    fresh = store.is_fresh(loop, on)
    first_answer = not fresh and store.has_first(loop, on)
    context = {"page": shown, "fresh": fresh, "first_answer": first_answer}
    response = render(request, "nutrients/nutrients.html", context)
    if not fresh:
        worker.wake()
    if forecast is None or (not fresh and worker.running()):
        response["Refresh"] = str(FULL_S if first_answer else AGAIN_S)
    return response


@require_safe
@needs_loop
def leaves(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Ask what leaves show; say what it may be."""
    typed = {name: value for name, value in request.GET.dict().items() if value and name in (*SIGNS, "crop")}
    log = bridge.entries(loop)
    on = clock.today(bridge.standing_system(loop))
    forecast = ahead.ahead_of(loop, on, store.made_with())
    answer, problem = None, ""
    if set(typed) - {"crop"} and forecast is not None:
        try:
            judged = judge(bridge.first_system(log), log, forecast, on, typed)
            answer = leaf(judged, loop.pk, on, lambda found: _known(found, log, on))
        except ValueError as error:
            problem = " ".join(str(error).split())
    context = {
        "signs": asked(typed),
        "crops": crops(typed),
        "heading": heading({} if problem else typed),
        "answer": answer,
        "problem": problem,
        "waiting": forecast is None,
    }
    return render(request, "nutrients/leaves.html", context, status=400 if problem else 200)


def _known(found: Supplements, log: Sequence[LogEntry], on: date) -> Log:
    return Log.of(log, given_today(found, bridge.first_system(log), log, on))
