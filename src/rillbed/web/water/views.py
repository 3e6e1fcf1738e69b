"""Logging a test of the water."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.answers import Today
from rillbed.plan.outlook import Outlook
from rillbed.tongue import later, many, tr
from rillbed.web import bridge, clock
from rillbed.web.charts import Figure, figures
from rillbed.web.forecasts import ahead, store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import LogRow, Loop
from rillbed.web.offline.late import MADE, made
from rillbed.web.water import sheet
from rillbed.web.water.expected import expected, reach
from rillbed.web.water.judged import judged
from rillbed.web.water.when import TYPED, moment

SENT = later("This sheet was saved already with other readings. Nothing was changed; save once more to add these, too.")
AHEAD_DAYS = 28
CHARTS = ("ammonia", "nitrite", "ph", "nitrate")
COLUMNS = {"tan": "tan_mg_l", "no2": "no2_mg_l", "no3": "no3_mg_l", "ph": "ph"}


@needs_loop
def water(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the test sheet; store a filled one."""
    system = bridge.standing_system(loop)
    if request.method != "POST":
        return _page(request, loop, system, {}, {})
    filled = {name: request.POST.getlist(name) for name in request.POST}
    try:
        at = (
            moment(system, typed) if (typed := request.POST.get("at", "")) else made(request.POST.dict()) or clock.now()
        )
        key = UUID(request.POST.get("uuid", ""))
    except ValueError as error:
        return _page(request, loop, system, filled, {"": str(error)})
    try:
        found = sheet.entries(system, filled, sheet=key, at=at, author=request.user.get_username())
        if MADE in request.POST and LogRow.objects.filter(loop=loop, uuid__in=[one.uuid for one in found]).exists():
            return redirect("today")  # it waited on a phone and was sent twice
        bridge.add(loop, *found)
    except sheet.Refused as refused:
        return _page(request, loop, system, filled, refused.problems)
    except GardenError as error:
        said = tr(SENT) if error.field == "uuid" else str(error)
        return _page(request, loop, system, filled, {"": said})
    worker.wake()
    saved = many("Saved: {n} reading, {at}, by {author}.", "Saved: {n} readings, {at}, by {author}.", len(found))
    when = words.clock(clock.local(system, at))
    messages.success(request, saved.format(n=len(found), at=when, author=found[0].author))
    return redirect("today")


def _page(
    request: HttpRequest,
    loop: Loop,
    system: System,
    filled: Mapping[str, Sequence[str]],
    problems: Mapping[str, str],
) -> HttpResponse:
    now = clock.now()
    on = system.day_of(now)
    state = state_at(bridge.first_system(log := bridge.entries(loop)), log, on)
    temperatures, answer = state.temperatures, store.latest(loop, on)
    context = {
        "blocks": sheet.blocks(
            system, filled, _hints(answer.today), temperatures[-1][1] if temperatures else None, problems
        ),
        "uuid": uuid4(),
        "at": (filled.get("at") or [clock.local(system, now).strftime(TYPED)])[0],
        "problem": problems.get("", ""),
        "said": f"{words.day(on)}, {words.clock(clock.local(system, now))}",
        "source_water": bool(filled.get("source_water")),
        "expected": expected(answer.today),
        "judged": judged(bridge.first_system(log), log, ahead.ahead_of(loop, on, store.made_with()), answer.today, on),
        "charts": _charts(answer.outlook, state, on) if answer.outlook else [],
    }
    return render(request, "water/water.html", context, status=400 if problems else 200)


def _charts(outlook: Outlook, state: LoopState, on: date) -> list[Figure]:
    """Return what kits read, weeks back and weeks ahead: wide enough to see each reading."""
    near = replace(outlook, rows=tuple(row for row in outlook.rows if row.on <= on + timedelta(days=AHEAD_DAYS)))
    when = tr("{title} over the last weeks and the next.")
    return [one for one in figures(near, state, on, when) if one.key in CHARTS]


def _hints(told: Today | None) -> dict[str, str]:
    """Return the expected range of each quantity that the forecast knows, for after the eye has decided."""
    if told is None:
        return {}
    found = {quantity: told.glance.get(column) for quantity, column in COLUMNS.items()}
    return {
        quantity: words.say("expected {span}", span=reach(quantity, band))
        for quantity, band in found.items()
        if band is not None
    }
