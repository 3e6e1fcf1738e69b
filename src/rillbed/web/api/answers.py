"""The answers: what the pages show and the command line prints with --json, from the forecast that is stored."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest

from rillbed.garden.errors import GardenError
from rillbed.plan import doses
from rillbed.plan.elements.answer import nutrients as nutrients_of
from rillbed.plan.outage import outlook
from rillbed.plan.trouble import case_of, triage
from rillbed.plan.verdict import judge
from rillbed.web import bridge, clock
from rillbed.web.api.base import Refusals, api, loop_of
from rillbed.web.api.loops import body_of, day_of
from rillbed.web.forecasts import ahead, plans, store
from rillbed.web.log.models import Loop
from rillbed.web.oxygen.form import ahead_of
from rillbed.words import doses as dose_words
from rillbed.words import elements as element_words
from rillbed.words import verdict as verdict_words
from rillbed.words.plain import plain
from rillbed.words.trouble_told import with_words

CODES = {200: dict[str, Any], 401: Refusals, 404: Refusals, 422: Refusals}
LOOP = "/loops/{int:loop_id}"


def _told(answer: store.Answer, **parts: object) -> dict[str, Any]:
    """Put answers beside how fresh they are; null where nothing was worked out yet."""
    made = None if answer.made_at is None else answer.made_at.isoformat()
    return {"fresh": answer.fresh, "made_at": made, "problem": answer.problem} | {
        name: plain(value) for name, value in parts.items()
    }


def _latest(loop: Loop) -> store.Answer:
    return store.latest(loop, day_of(loop))


@api.get(f"{LOOP}/today", response=CODES, summary="What to do today")
def today(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give jobs, the loop tonight and what is due; `fresh` says whether it knows the whole log."""
    answer = _latest(loop_of(request, loop_id))
    return _told(answer, today=answer.today)


@api.get(f"{LOOP}/forecast", response=CODES, summary="The year ahead")
def forecast(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give the 10, 50 and 90 % points of the members every few days, and what the bacteria carry."""
    answer = _latest(loop_of(request, loop_id))
    return _told(answer, forecast=answer.outlook, carried=answer.carried)


@api.get(f"{LOOP}/fish", response=CODES, summary="The fish")
def fish(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give each group, the days ahead, when they are big enough, and kilograms against limits."""
    answer = _latest(loop_of(request, loop_id))
    return _told(answer, fish=answer.fish)


@api.get(f"{LOOP}/room", response=CODES, summary="Room for plants")
def room(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give the next batch and room for good, by both views, and room by week over the year."""
    loop = loop_of(request, loop_id)
    answer, planned = _latest(loop), plans.latest(loop, day_of(loop))
    return _told(
        answer, room=answer.today.room if answer.today else None, weeks=planned.room or None, crop=planned.crop
    )


@api.get(f"{LOOP}/plan", response=CODES, summary="The planting plan")
def plan(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give the last planting plan; null without a household or before it was worked out."""
    loop = loop_of(request, loop_id)
    found = plans.latest(loop, day_of(loop))
    made = None if found.made_at is None else found.made_at.isoformat()
    return {"fresh": found.fresh, "made_at": made, "problem": found.problem, "plan": plain(found.plan)}


@api.get(f"{LOOP}/nutrients", response=CODES, summary="Nutrients")
def nutrients(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Give what runs short, what to add and the books; null until a forecast is there."""
    loop = loop_of(request, loop_id)
    log, on = bridge.entries(loop), day_of(loop)
    known = ahead.ahead_of(loop, on, store.made_with())
    if known is None:
        return _told(_latest(loop), nutrients=None)
    found = nutrients_of(bridge.first_system(log), log, known, on)
    return _told(_latest(loop), nutrients=found, headline=element_words.supplements_headline(found.doses))


@api.get(f"{LOOP}/water", response=CODES, summary="The verdict on the water")
def water(request: HttpRequest, loop_id: int) -> Mapping[str, Any]:
    """Judge the water from what was read, and from the forecast where nothing was."""
    loop = loop_of(request, loop_id)
    log, on = bridge.entries(loop), day_of(loop)
    found = judge(bridge.first_system(log), log, ahead.ahead_of(loop, on, store.made_with()), on=on)
    return {"verdict": plain(found), "words": plain(verdict_words.verdict(found))}


@api.get(f"{LOOP}/dose", response=CODES, summary="A safe plan for a goal")
def dose(
    request: HttpRequest,
    loop_id: int,
    goal: str,
    target: float | None = None,
    substance: str | None = None,
    quantity: str = "tan",
    litres: float | None = None,
) -> Mapping[str, Any]:
    """Lay out doses for one goal, or refuse with the reason; from the log and the forecast."""
    loop = loop_of(request, loop_id)
    for name, value in (("target", target), ("litres", litres)):
        if value is not None and not 0.0 < value < 1e7:
            raise GardenError(name, value, "must be above 0 and below 10 million")
    log, standing = bridge.entries(loop), bridge.standing_system(loop)
    on = clock.today(standing)
    try:
        asked = doses.Goal(
            goal,  # type: ignore[arg-type]
            target,
            substance,
            quantity,
            litres=litres if goal == "dechlorinate" else None,
            each_litres=litres if goal == "dilute" else None,
        )
        known = doses.Water.of(bridge.first_system(log), log, on)
        found = doses.plan(asked, known, standing, forecast=ahead.ahead_of(loop, on, store.made_with()))
    except GardenError:
        raise
    except ValueError as error:
        raise GardenError("goal", goal, " ".join(str(error).split())) from None
    kind = "refusal" if isinstance(found, doses.Refusal) else "plan"
    return {"answer": kind, "plan": plain(found), "words": plain(dose_words.answer(found))}


@api.get(f"{LOOP}/oxygen", response=CODES, summary="Hours without air")
def oxygen(
    request: HttpRequest, loop_id: int, temp_c: float | None = None, oxygen_mg_l: float | None = None, days: str = ""
) -> Mapping[str, Any]:
    """Say how long fish last when the air stops and what to do; `days` ahead are written as ``31, 22-34``."""
    loop = loop_of(request, loop_id)
    log, standing = bridge.entries(loop), bridge.standing_system(loop)
    on = clock.today(standing)
    try:
        found = outlook(
            standing,
            log,
            on,
            temp_c=temp_c,
            oxygen_mg_l=oxygen_mg_l,
            days_ahead=ahead_of({"ahead": days}),
            forecast=ahead.ahead_of(loop, on, store.made_with()),
        )
    except GardenError:
        raise
    except ValueError as error:
        raise GardenError("oxygen", "", " ".join(str(error).split())) from None
    return {"oxygen": plain(found)}


@api.post(
    "/check",
    response={200: dict[str, Any], 401: Refusals, 413: Refusals, 422: Refusals},
    summary="A way through trouble, from a case",
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Case"}}},
        }
    },
)
def check(request: HttpRequest) -> Mapping[str, Any]:
    """Judge a case with `system`, `log` and `see`, as in a case file; nothing is stored."""
    data = body_of(request)
    if not isinstance(data, dict):
        raise GardenError("body", type(data).__name__, "needs an object with system, log and see")
    case = case_of(data)
    return with_words(triage(case.system, case.entries, on=case.on, assumed=case.assumed))
