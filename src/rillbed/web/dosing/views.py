"""The bench: everything asked is in the address, nothing is stored until a step is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.errors import GardenError
from rillbed.plan import doses
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.dosing.form import ADD, QUESTIONS, READ, goal_of, grams_of, headline, question_of, water_of
from rillbed.web.dosing.page import Log, added, known, page
from rillbed.web.forecasts import ahead, store
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop


@require_safe
@needs_loop
def bench(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Ask for a goal or a dose; answer from the log, the last forecast, and what is typed over it."""
    typed = request.GET.dict()
    question = question_of(typed.get("goal", ""))
    log, system = bridge.entries(loop), bridge.standing_system(loop)
    on = clock.today(system)
    water = doses.Water.of(bridge.first_system(log), log, on)
    problems: dict[str, str] = {}
    answer = None
    if typed.get("show"):
        try:
            water = water_of(water, typed)
            answer = _answer(loop, question.key, typed, water)
        except GardenError as error:
            known_fields = {one.name for one in (*question.fields, *READ)}
            named = error.field if error.field in known_fields else ""
            problems = {named: forms.sentence(error) if named else str(error)}
        except ValueError as error:
            problems = {"": " ".join(str(error).split())}
    context = {
        "questions": [(one.key, tr(one.title), one.key == question.key) for one in QUESTIONS],
        "question": question,
        "title": headline(question.key),
        "fields": forms.bound(question.fields, typed, problems),
        "read": forms.bound(READ, typed, problems),
        "opened": any(typed.get(one.name) for one in READ),
        "problem": problems.get("", ""),
        "answer": answer,
        "known": known(water),
    }
    return render(request, "dosing/dosing.html", context, status=400 if problems else 200)


def _answer(loop: Loop, key: str, typed: dict[str, str], water: doses.Water) -> object:
    system = bridge.standing_system(loop)
    on = clock.today(system)
    forecast = ahead.ahead_of(loop, on, store.made_with())
    if key == ADD:
        what, grams = typed.get("what", ""), grams_of(typed)
        dose = doses.added(what, grams, water, forecast)
        return added(dose, loop.pk, on, f"{what} {grams:g} {_read(typed)}", _log(loop, doses.moves(what), typed, on))
    goal = goal_of(question_of(key), typed, system)
    log = _log(loop, doses.stands_on(goal), typed, on)
    return page(doses.plan(goal, water, system, forecast=forecast), loop.pk, on, f"{goal!r} {_read(typed)}", log)


def _read(typed: dict[str, str]) -> str:
    """Give the readings typed here, in one order; they are part of what was asked."""
    return " ".join(f"{one.name}={text}" for one in READ if (text := typed.get(one.name, "").strip()))


def _log(loop: Loop, quantity: str | None, typed: dict[str, str], on: date) -> Log:
    """Look up what the log knows of an answer; what was read just now needs no reading."""
    entries = bridge.entries(loop)
    if quantity is None:
        return Log.of(entries, None)
    found = doses.since(quantity, bridge.first_system(entries), entries, on)
    return Log.of(entries, replace(found, given=()) if typed.get(quantity, "").strip() else found)
