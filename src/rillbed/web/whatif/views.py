"""Think about a change and see both futures."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.plan.whatif import Comparison, compare
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import fits, store
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop
from rillbed.web.whatif.form import KINDS, change_of, kind_of
from rillbed.web.whatif.page import page

MEMBERS = 60
DAYS = 91


@needs_loop
def what_if(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Ask for a change; with one in the address, show both futures by the members of the last whole fit."""
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    on = clock.today(system)
    state = state_at(bridge.first_system(log), log, on)
    typed = request.GET.dict()
    kind = kind_of(typed.get("kind", ""))
    asked = bool(typed.get("show"))
    problems: dict[str, str] = {}
    answer: Comparison | None = None
    known = fits.last(loop, store.made_with()) if asked else None
    if asked:
        try:
            change = change_of(kind, typed, state, on)
            if known is not None:
                answer = compare(
                    bridge.first_system(log), log, change, on, posterior=known, horizon_days=DAYS, members=MEMBERS
                )
        except GardenError as error:
            problems = _problem(error, kind.fields(state))
        except ValueError as error:
            problems = {"": " ".join(str(error).split())}
    context = {
        "kinds": [(one.key, tr(one.title), one.key == kind.key) for one in KINDS],
        "kind": kind,
        "fields": forms.bound(kind.fields(state), typed if asked else forms.fresh(kind.fields(state)), problems),
        "problem": problems.get("", ""),
        "waiting": asked and known is None and not problems,
        "page": page(answer) if answer is not None else None,
    }
    return render(request, "whatif/whatif.html", context, status=400 if problems else 200)


def _problem(error: GardenError, fields: tuple[object, ...]) -> dict[str, str]:
    """Say a refusal at the field it is about, else above the form."""
    names = {getattr(one, "name", "") for one in fields}
    for part in reversed(error.field.split(".")):
        if part in names:
            return {part: forms.sentence(error)}
    return {"": str(error)}
