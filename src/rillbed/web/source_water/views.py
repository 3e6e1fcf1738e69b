"""Asking for the source water, keeping it in the set-up, and judging it."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.plan.verdict import SourceFacts, assess
from rillbed.tongue import later, tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import ahead, store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.roles import needs
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop, Role
from rillbed.web.setup import store as set_ups
from rillbed.web.setup.refill import filled_from
from rillbed.web.source_water.form import EXTRA, PREFIX, extra_of, kept_fields, kept_of
from rillbed.web.source_water.page import page

SAVED = later("Saved: the source water. The forecast is being worked out anew.")


@needs(Role.OWNER)
@needs_loop
def source_water(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what is known and what it means; on POST keep it in the set-up."""
    system = bridge.standing_system(loop)
    if request.method != "POST":
        return _page(request, loop, filled_from(system), request.GET.dict(), {})
    filled = request.POST.dict()
    values, problems = kept_of(filled)
    try:
        extra_of(filled)
    except GardenError as error:
        problems[error.field] = forms.sentence(error)
    if not problems:
        problems = _kept(request, loop, system, values, filled)
    if problems:
        return _page(request, loop, filled, filled, problems)
    extra = {field.name: filled[field.name] for field in EXTRA if filled.get(field.name)}
    return redirect(reverse("source-water") + (f"?{urlencode(extra)}" if extra else ""))


def _kept(
    request: HttpRequest, loop: Loop, system: System, values: Mapping[str, object], filled: Mapping[str, str]
) -> dict[str, str]:
    """Write the set-up with this water; give what is wrong."""
    assert request.user.is_authenticated
    told = system.model_dump(mode="json", exclude_none=True) | {"source_water": values}
    refused = {
        PREFIX + error.field.rsplit(".", 1)[-1]: forms.sentence(error) for error in System.refusals(told)
    }  # fmt: skip
    if refused:
        return refused
    try:
        key = UUID(filled.get("uuid", ""))
        set_ups.save(loop, System.make(told), key, request.user, correction=filled.get("holds") == "then")
    except ValueError as error:
        return {"": str(error)}
    worker.wake()
    messages.success(request, tr(SAVED))
    return {}


def _page(
    request: HttpRequest, loop: Loop, filled: Mapping[str, str], typed: Mapping[str, str], problems: dict[str, str]
) -> HttpResponse:
    log = bridge.entries(loop)
    first = bridge.first_system(log)
    on = clock.today(bridge.standing_system(loop))
    try:
        more = extra_of(typed)
    except GardenError as error:
        more, problems = SourceFacts(), problems | {error.field: forms.sentence(error)}
    found = assess(first, log, ahead.ahead_of(loop, on, store.made_with()), on=on, more=more)
    context = {
        "kept": forms.bound(kept_fields(), filled, problems),
        "extra": forms.bound(EXTRA, typed, problems),
        "problem": problems.get("", ""),
        "uuid": filled.get("uuid") or uuid4(),
        "holds": filled.get("holds", "now"),
        "page": page(found),
    }
    return render(request, "source_water/source_water.html", context, status=400 if problems else 200)
