"""Asking for the loop and writing down what was answered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.tongue import later, tr
from rillbed.web import clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import choose, current, found
from rillbed.web.frame.roles import ANYBODY, needs
from rillbed.web.log.models import Loop, Role
from rillbed.web.setup import store
from rillbed.web.setup.effects import guesses
from rillbed.web.setup.fields import Bound
from rillbed.web.setup.filled import LISTS, Filled, problem, rows, told
from rillbed.web.setup.fresh import BLANK, fresh
from rillbed.web.setup.page import Section, sections
from rillbed.web.setup.refill import filled_from
from rillbed.web.setup.unasked import carry
from rillbed.web.size.form import taken
from rillbed.words.numbers import say

CHANGED = later(
    "Somebody changed the set-up while you were typing. Yours is kept below; save again to put it in its place."
)


@needs(Role.OWNER)
def setup(request: HttpRequest) -> HttpResponse:
    """Show the form of the loop, or of a first one; store a filled one."""
    assert request.user.is_authenticated
    if named := request.POST.get("loop"):
        choose(request, found(request.user, named))
    return _setup(request, current(request))


@needs(ANYBODY)
def setup_new(request: HttpRequest) -> HttpResponse:
    """Show the form of one more loop, as it was sized if that is asked for; store a filled one."""
    sized = taken(request.GET.dict(), clock.now().date()) if request.method == "GET" else None
    if sized is not None:
        return _page(request, None, fresh(clock.now().date()) | filled_from(sized), (), {}, sized)
    return _setup(request, None)


def _setup(request: HttpRequest, loop: Loop | None) -> HttpResponse:
    standing = store.standing(loop)
    if request.method != "POST":
        system = standing.system if standing else None
        filled = filled_from(system) if system else fresh(clock.now().date())
        return _page(request, loop, filled, system.shelf if system else (), {}, system)
    filled = {name: request.POST[name] for name in request.POST}
    shelf = request.POST.getlist("shelf")
    if filled.get("more") in LISTS:
        return _page(request, loop, _one_more(filled), shelf, {}, _maybe(filled, shelf))
    read = told(filled, shelf)
    if standing:
        # The day it was filled is what the whole log hangs on; it cannot move under it.
        read.data["started_on"] = standing.system.started_on
        carry(read.data, standing.system)
    refused = dict(problem(error, read, filled) for error in System.refusals(read.data))
    if problems := refused | read.problems:
        return _page(request, loop, filled, shelf, problems, None)
    system = System.make(read.data)
    if standing is None and system.started_on > (today := clock.today(system)):
        said = say("Must not be after today, {today}.", today=today.isoformat())
        return _page(request, loop, filled, shelf, {"started_on": said}, None)
    if standing and filled.get("seen") != standing.digest:
        return _page(request, loop, filled, shelf, {"": tr(CHANGED)}, system)
    return _store(request, loop, filled, shelf, system)


def _store(
    request: HttpRequest,
    loop: Loop | None,
    filled: Filled,
    shelf: Iterable[str],
    system: System,
) -> HttpResponse:
    assert request.user.is_authenticated
    try:
        key = UUID(filled.get("uuid", ""))
        kept = store.save(loop, system, key, request.user, correction=filled.get("holds") == "then")
    except ValueError as error:
        said = str(error)
        return _page(request, loop, filled, shelf, {"": said}, system)
    choose(request, kept)
    worker.wake()
    messages.success(request, say("Saved: the set-up of {name}.", name=system.name))
    return redirect("setup" if loop else "today")


def _one_more(filled: Filled) -> dict[str, str]:
    name = filled["more"]
    number = max(rows(filled, name), default=-1) + 1
    return {**filled, **{f"{name}-{number}-{key}": value for key, value in BLANK[name].items()}}


def _maybe(filled: Filled, shelf: Iterable[str]) -> System | None:
    try:
        return System.make(told(filled, shelf).data)
    except GardenError:
        return None


def _page(
    request: HttpRequest,
    loop: Loop | None,
    filled: Filled,
    shelf: Iterable[str],
    problems: Mapping[str, str],
    system: System | None,
) -> HttpResponse:
    shown = sections(filled, shelf, problems, system)
    standing = store.standing(loop)
    context = {
        "sections": shown,
        "new": loop is None,
        "loop": loop,
        "uuid": filled.get("uuid") or uuid4(),
        "seen": standing.digest if standing else "",
        "holds": filled.get("holds", "now"),
        "problem": problems.get("", ""),
        "wrong": [(label, bound.id) for section in shown for label, bound in _bounds(section) if bound.problem],
        "guesses": guesses(system) if system else (),
        "standing": standing,
    }
    return render(request, "setup/setup.html", context, status=400 if problems else 200)


def _bounds(section: Section) -> Iterable[tuple[str, Bound]]:
    """Yield the fields with their labels as they stand; one of a list says of which row it is."""
    for bound in section.fields:
        yield bound.field.label, bound
    for row in section.rows:
        for bound in row.fields:
            yield f"{row.title}, {bound.field.label}", bound
    for bound in section.more:
        yield bound.field.label, bound
