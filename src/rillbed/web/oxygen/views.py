"""Asking and answering at once, whatever is known; nothing is stored."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.errors import GardenError
from rillbed.plan.outage import Outlook, outlook
from rillbed.web import bridge, clock
from rillbed.web.forecasts import ahead, store
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop
from rillbed.web.oxygen.form import FIELDS, ahead_of, oxygen_of, temp_of
from rillbed.web.oxygen.page import page
from rillbed.words import outage as said


@require_safe
@needs_loop
def oxygen(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show how long the fish last and what to do in order."""
    typed = request.GET.dict()
    problems: dict[str, str] = {}
    try:
        found = _outlook(loop, typed)
    except GardenError as error:
        problems = {error.field: forms.sentence(error)}
        found = _outlook(loop, {})
    except ValueError as error:
        problems = {"": " ".join(str(error).split())}
        found = _outlook(loop, {})
    query = request.GET.urlencode()
    context = {
        "page": page(found),
        "fields": forms.bound(FIELDS, typed, problems),
        "problem": problems.get("", ""),
        "query": f"?{query}" if query and not problems else "",
    }
    return render(request, "oxygen/oxygen.html", context, status=400 if problems else 200)


@require_safe
@needs_loop
def card(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the card to print and pin up beside the tanks."""
    try:
        found = _outlook(loop, request.GET.dict())
    except ValueError:
        found = _outlook(loop, {})
    return render(request, "oxygen/card.html", {"lines": said.card(found, 0)})


def _outlook(loop: Loop, typed: dict[str, str]) -> Outlook:
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    on = clock.today(system)
    return outlook(
        system, log, on, temp_c=temp_of(typed), oxygen_mg_l=oxygen_of(typed), days_ahead=ahead_of(typed),
        forecast=ahead.ahead_of(loop, on, store.made_with()),
    )  # fmt: skip
