"""The page of export and import."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from rillbed.garden.exchange.archive import MOST_BYTES, unpacked
from rillbed.tongue import tr
from rillbed.web.exchange.take import Taken, file_of, name_of, take_in
from rillbed.web.frame.loops import choose, found, loops_of, needs_loop
from rillbed.web.frame.roles import ANYBODY, may, needs, refused
from rillbed.web.log.models import Loop, Role
from rillbed.words import say

if TYPE_CHECKING:
    from django.contrib.auth.models import User

SHOWN = 30


def _person(request: HttpRequest) -> User:
    assert request.user.is_authenticated
    return request.user


@require_safe
def exchange(request: HttpRequest) -> HttpResponse:
    """Offer both ways."""
    return _page(request)


@never_cache
@require_POST
@needs(Role.OWNER)
@needs_loop
def export(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Give the loop as a file."""
    response = HttpResponse(file_of(loop, _person(request).get_username()), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="{name_of(loop)}"'
    return response


@require_POST
@needs(ANYBODY)
def bring(request: HttpRequest) -> HttpResponse:
    """Try a file, or take it in."""
    into = request.POST.get("into", "")
    loop = found(_person(request), into) if into else None
    if loop is not None and not may(loop, Role.OWNER):
        return refused(request, loop, Role.OWNER)
    file = request.FILES.get("file")
    if file is None:
        return _page(request, 400, problem=tr("Choose a file first."), into=into)
    name = str(file.name)[:80]
    taken = take_in(
        unpacked(file.read(MOST_BYTES + 1), name), _person(request), loop, name, dry=not request.POST.get("take")
    )
    if taken.faults or taken.loop is None:
        return _page(request, 400 if taken.faults else 200, taken=taken, name=name, into=into)
    choose(request, taken.loop)
    told = say("Taken in: {stored} entries; {known} were there already.", stored=taken.stored, known=taken.known)
    messages.success(request, told)
    return redirect("log")


def _page(
    request: HttpRequest, status: int = 200, *, problem: str = "", taken: Taken | None = None, name: str = "",
    into: str = "",
) -> HttpResponse:  # fmt: skip
    faults = taken.faults if taken is not None else ()
    context = {
        "problem": problem,
        "taken": taken,
        "name": name,
        "into": into,
        "faults": faults[:SHOWN],
        "more": len(faults) - SHOWN,
        "owned": [one for one in loops_of(_person(request)) if may(one, Role.OWNER)],
        "most_mb": MOST_BYTES // 2**20,
    }
    return render(request, "exchange/exchange.html", context, status=status)
