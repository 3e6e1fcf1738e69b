"""What each role may do: readers look, helpers write the log, owners change the loop and say who may come in.

A view that changes something needs a helper unless it says otherwise with `needs`, so a new page is safe before anybody
has thought of roles.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from rillbed.web.frame.loops import current, found
from rillbed.web.log.models import RANKS, Loop, Role

SAFE = ("GET", "HEAD", "OPTIONS", "TRACE")
ANYBODY = ""  # whoever is signed in: what is changed belongs to no loop
View = TypeVar("View", bound=Callable[..., HttpResponse])


def needs(role: str, *, to_look: bool = False) -> Callable[[View], View]:
    """Say which role a view asks of whoever changes something, and of whoever looks with `to_look`."""

    def marked(view: View) -> View:
        view.least_role, view.to_look = role, to_look  # type: ignore[attr-defined]
        return view

    return marked


def may(loop: Loop, role: str) -> bool:
    """Whether the person who asked for a loop has this role there, or a higher one."""
    return RANKS[loop.role] >= RANKS[role]


def may_change(loop: Loop, person: str, author: str) -> bool:
    """Whether a person may correct or take back what an author wrote: owners all, helpers their own."""
    return may(loop, Role.OWNER) or (may(loop, Role.HELPER) and bool(person) and person == author)


def refused(request: HttpRequest, loop: Loop, role: str) -> HttpResponse:
    """Say that the role is not enough; nothing is stored."""
    context = {"refused": loop, "role": loop.role, "least": role, "short_of": ""}
    return render(request, "frame/refused.html", context, status=403)


class Roles:
    """Refuse, before any view runs, what the role in the loop asked about does not allow."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Go on: the address is not known yet."""
        return self.answer(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        """Look at the loop that the form names, else at the one that is shown."""
        safe = request.method in SAFE
        least = getattr(view, "least_role", Role.HELPER)
        if least == ANYBODY or (safe and not getattr(view, "to_look", False)):
            return None
        if not request.user.is_authenticated or not getattr(view, "login_required", True):
            return None
        named = request.POST.get("loop") if not safe else None
        loop = found(request.user, named) if named else current(request)
        return None if loop is None or may(loop, least) else refused(request, loop, least)
