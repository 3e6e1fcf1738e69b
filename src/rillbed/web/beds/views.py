"""The beds, and the hand of the keeper on the plan."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from rillbed import facts, words
from rillbed.garden.fold import state_at
from rillbed.garden.system import System
from rillbed.plan.beds.harvest import harvest
from rillbed.plan.beds.site import bed_refusal
from rillbed.plan.crops import bed_kinds
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.beds.form import FIELDS, fields_of
from rillbed.web.beds.page import page
from rillbed.web.beds.rule import chosen
from rillbed.web.forecasts import plans, store, worker
from rillbed.web.forecasts.models import PlanLine
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop
from rillbed.words import beds as said
from rillbed.words.numbers import say

HARVEST_DAYS = 90
AGAIN_S = 5


@require_safe
@needs_loop
def beds(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the beds."""
    return _page(request, loop, {}, {})


@require_POST
@needs_loop
def keep(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Keep a line of the plan as it is, or add one by hand; the next plan is made around it."""
    typed = request.POST.dict()
    system = bridge.standing_system(loop)
    try:
        key = UUID(typed.get("uuid", ""))
    except ValueError:
        return HttpResponse("uuid: needs a UUID\n", status=400, content_type="text/plain")
    told, problems = fields_of(typed, system, clock.today(system))
    if told is not None:
        bed = next(one for one in system.beds if one.name == told.bed)
        refused = bed_refusal(facts.crops()[told.crop], bed)
        if refused is not None:
            problems = {"crop": said.reason(refused)}
    if problems or told is None:
        return _page(request, loop, typed, problems)
    row = {"crop": told.crop, "bed": told.bed, "on": told.on, "count": told.count}
    made = {"author": request.user.get_username(), "made_at": clock.now()}
    found, _ = PlanLine.objects.get_or_create(key=key, defaults={"loop": loop, **row, **made})
    if found.loop_id != loop.pk:
        raise Http404
    worker.plan_again()
    kept = {"count": told.count, "crop": said.crop(told.crop), "bed": told.bed}
    messages.success(request, say("Kept: {count} {crop} in {bed}. The plan is made around it.", **kept))
    return redirect("beds")


@require_POST
@needs_loop
def drop(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Let a kept line go."""
    try:
        key = UUID(request.POST.get("uuid", ""))
    except ValueError:
        raise Http404 from None
    if not PlanLine.objects.filter(loop=loop, key=key).update(dropped=True):
        raise Http404
    worker.plan_again()
    messages.success(request, tr("Let go. The plan is made anew."))
    return redirect("beds")


def _by_hand(loop: Loop, system: System, on: date) -> list[dict[str, str]]:
    """Give the lines that still lie ahead, and why one has no place any more."""
    return [
        {
            "key": str(row.key),
            "text": say(
                "{count} {crop} in {bed} on {day}",
                count=row.count,
                crop=said.crop(row.crop),
                bed=row.bed,
                day=words.day(row.on),
            ),
            "author": row.author,
            "unfit": plans.unfit(system, row, on),
        }
        for row in plans.lines(loop)
        if row.on >= on
    ]


def _page(request: HttpRequest, loop: Loop, typed: dict[str, str], problems: dict[str, str]) -> HttpResponse:
    log = bridge.entries(loop)
    first, standing = bridge.first_system(log), bridge.standing_system(loop)
    on = clock.today(standing)
    planned = plans.latest(loop, on)
    state = state_at(first, log, on)
    begin = max(standing.started_on, on - timedelta(days=HARVEST_DAYS))
    price = next((item.per_kg for item in standing.prices if item.supply == standing.feed), None)
    picked = harvest(first, log, begin, on, feed_price_kg=price)
    today = store.latest(loop, on).today
    rule = chosen(request.GET.dict(), bed_kinds(standing))
    shown = page(standing, state, planned, picked, loop, on, rule, None if today is None else today.room)
    context = {
        "page": shown,
        "rule": rule,
        "fields": forms.bound([field(standing) if callable(field) else field for field in FIELDS], typed, problems),
        "problem": problems.get("", ""),
        "uuid": typed.get("uuid") or uuid4(),
        "lines": _by_hand(loop, standing, on),
    }
    response = render(request, "beds/beds.html", context, status=400 if problems else 200)
    if not planned.fresh and worker.running() and not problems and not typed:
        response["Refresh"] = str(AGAIN_S)
    return response
