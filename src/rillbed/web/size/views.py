"""Asking for a size and showing the answer; nothing is stored."""

from __future__ import annotations

import re

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed import facts
from rillbed.garden.errors import GardenError
from rillbed.plan.size import size
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.frame.loops import current
from rillbed.web.log import form as forms
from rillbed.web.size.form import FIRST, MORE, STARTS, WHERE, fields, fresh, wish_of
from rillbed.web.size.page import page


@require_safe
def size_a_loop(request: HttpRequest) -> HttpResponse:
    """Ask for appetite, space or fish; with an answer in the address, show loops side by side."""
    typed = request.GET.dict()
    start = typed.get("start", "") if typed.get("start") in STARTS else "appetite"
    problems: dict[str, str] = {}
    shown = None
    if typed.get("show"):
        try:
            shown = page(size(wish_of(start, typed), clock.now().date()))
        except GardenError as error:
            known = {field.name for field in fields(start)}
            named = error.field if error.field in known else ""
            problems = {named: _named(forms.sentence(error)) if named else str(error)}
    else:
        typed = fresh(start, _town(request)) | typed
    query = request.GET.copy()
    context = {
        "starts": [(key, tr(title), key == start) for key, title in STARTS.items()],
        "start": start,
        "first": forms.bound(FIRST[start], typed, problems),
        "where": forms.bound(WHERE, typed, problems),
        "more": forms.bound(MORE, typed, problems),
        "opened": any(typed.get(field.name) for field in MORE),
        "problem": problems.get("", ""),
        "page": shown,
        "query": query.urlencode(),
    }
    return render(request, "size/size.html", context, status=400 if problems else 200)


def _named(text: str) -> str:
    """Write kinds of fish by their names in place of their keys."""
    for key, row in facts.species().items():
        text = re.sub(rf"\b{key}\b", tr(row.common_name), text)
    return text


def _town(request: HttpRequest) -> str:
    """Find the town of the loop that is shown; none without a loop."""
    loop = current(request) if request.user.is_authenticated else None
    if loop is None:
        return ""
    try:
        system = bridge.standing_system(loop)
    except GardenError:
        return ""  # not set up yet
    return system.town or facts.nearest_town(system.latitude_deg, system.longitude_deg).id
