"""Showing the sheets; nothing is stored."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.garden.spells import spell_on
from rillbed.plan.away import check
from rillbed.plan.outage import outlook
from rillbed.web import bridge, clock
from rillbed.web.away.page import shares_of
from rillbed.web.away.waiting import looking_again, waiting
from rillbed.web.forecasts import ahead, aways, store
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop
from rillbed.web.paper.asked import AWAY, away_of, next_asked
from rillbed.web.paper.cards import cards_of
from rillbed.web.paper.columns import columns
from rillbed.web.paper.minding import sheet
from rillbed.web.paper.week import coming, days_of
from rillbed.words import outage as outage_said

ROWS = range(21)


@require_safe
@needs_loop
def paper(request: HttpRequest, loop: Loop) -> HttpResponse:
    """List the sheets; the one for whoever minds the loop asks for the next spell away."""
    typed = forms.fresh(AWAY) | next_asked(bridge.entries(loop), clock.today(bridge.standing_system(loop)))
    return render(request, "paper/paper.html", {"fields": forms.bound(AWAY, typed, {})})


@require_safe
@needs_loop
def week(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the seven days ahead, each job with a box to tick."""
    system = bridge.standing_system(loop)
    on = clock.today(system)
    return render(request, "paper/week.html", {"week": days_of(coming(loop, on, 7), on), "name": system.name, "on": on})


@require_safe
@needs_loop
def log_sheet(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show an empty sheet with the tests this loop has."""
    system = bridge.standing_system(loop)
    return render(request, "paper/log.html", {"columns": columns(system), "rows": ROWS, "name": system.name})


@require_safe
@needs_loop
def cards(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what to do first in each kind of trouble, for this loop as it stands."""
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    on = clock.today(system)
    context = {
        "cards": cards_of(bridge.first_system(log), log, on),
        "air": _air(loop, on),
        "name": system.name,
        "on": on,
    }
    return render(request, "paper/cards.html", context)


@require_safe
@needs_loop
def away_sheet(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show the sheet for whoever minds the loop: for the days asked, else for the next spell away, else ask."""
    log = bridge.entries(loop)
    first, system = bridge.first_system(log), bridge.standing_system(loop)
    on = clock.today(system)
    typed = request.GET.dict() or next_asked(log, on)
    problems: dict[str, str] = {}
    context: dict[str, object] = {"name": system.name, "on": on}
    waits = None
    if typed:
        try:
            since, until, share = away_of(typed)
            check(on, since, until, share)
            asked = aways.ask(loop, on, since, until, (share,))
            waits = context["waiting"] = waiting(loop, on, asked)
            problems = {"": asked.problem} if asked.problem else {}
            for found in asked.rows:
                coming_up = coming(loop, on, (found.last - on).days + 1)
                context["sheet"] = sheet(found, coming_up, system, state_at(first, log, on))
                context["other_shares"] = shares_of(found)
                context["spell"] = spell_on(log, found.first)
                context["air"] = _air(loop, on)
        except GardenError as error:
            problems = {error.field: forms.sentence(error)}
        except ValueError as error:
            problems = {"": " ".join(str(error).split())}
    context |= {"fields": forms.bound(AWAY, typed, problems), "problem": problems.get("", "")}
    return looking_again(render(request, "paper/away.html", context, status=400 if problems else 200), waits)


def _air(loop: Loop, on: date) -> str:
    """Give the card for when the air stops; empty without fish."""
    found = outlook(
        bridge.standing_system(loop), bridge.entries(loop), on, forecast=ahead.ahead_of(loop, on, store.made_with())
    )
    return outage_said.card(found, 0) if found.tanks else ""
