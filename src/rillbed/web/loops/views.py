"""Listing, choosing and erasing loops; a new one is described in the set-up."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rillbed.web.frame.loops import choose, current, found, loops_of
from rillbed.web.frame.roles import ANYBODY, may, needs, refused
from rillbed.web.log.erase import erase
from rillbed.web.log.models import LogRow, Role
from rillbed.web.loops.page import lines
from rillbed.words import say


def loops(request: HttpRequest) -> HttpResponse:
    """List the loops of a person, most urgent first."""
    assert request.user.is_authenticated
    here = current(request)
    if here is None:
        return redirect("begin")
    return render(request, "loops/loops.html", {"lines": lines(list(loops_of(request.user)), here)})


@needs(ANYBODY)
@require_POST
def choose_loop(request: HttpRequest) -> HttpResponse:
    """Show another loop from now on."""
    assert request.user.is_authenticated
    choose(request, found(request.user, request.POST.get("loop")))
    return redirect("today")


@needs(ANYBODY)
def erase_loop(request: HttpRequest, key: int) -> HttpResponse:
    """Ask once more, by name; then remove the loop and its log for good."""
    assert request.user.is_authenticated
    loop, problem = found(request.user, key), ""
    if not may(loop, Role.OWNER):
        return refused(request, loop, Role.OWNER)
    if request.method == "POST":
        if request.POST.get("name", "").strip() == loop.name:
            erase(loop)
            messages.success(request, say("Erased: {loop} and its log.", loop=loop.name))
            return redirect("loops")
        problem = say("Nothing was erased. Type the name as it stands: {loop}.", loop=loop.name)
    count = LogRow.objects.filter(loop=loop).count()
    context = {"erased": loop, "count": count, "problem": problem, "typed": request.POST.get("name", "")}
    return render(request, "loops/erase.html", context, status=400 if problem else 200)
