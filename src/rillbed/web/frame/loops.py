"""Which loop a request is about, and whose it is."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING

from django.db.models import F, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from rillbed.web.log.models import Keeper, Loop, Role

if TYPE_CHECKING:
    from django.contrib.auth.models import User


def loops_of(person: User) -> QuerySet[Loop]:
    """Loops that a person may see, with their `role`, the oldest first; every page starts from here."""
    mine = Loop.objects.filter(keepers__person=person, erasing=False)
    return mine.annotate(role=F("keepers__role")).order_by("pk")  # type: ignore[no-redef]


def found(person: User, key: int | str | None) -> Loop:
    """Return the loop with this key; whoever may not see it gets the same answer as for one that is not there."""
    loop = loops_of(person).filter(pk=int(key)).first() if key and str(key).isdecimal() else None
    if loop is None:
        raise Http404
    return loop


def keep(loop: Loop, person: User, role: str = Role.OWNER) -> None:
    """Let a person see a loop as owner, helper or reader; whoever may already keeps the role."""
    Keeper.objects.get_or_create(loop=loop, person=person, defaults={"role": role})


def current(request: HttpRequest) -> Loop | None:
    """Loop chosen in this session, else the first; None while there is none."""
    mine = loops_of(_person(request))
    chosen = request.session.get("loop") or 0
    return mine.filter(pk=chosen).first() or mine.first()


def choose(request: HttpRequest, loop: Loop) -> None:
    """Remember a loop for this session."""
    request.session["loop"] = loop.pk


def needs_loop(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Hand the loop to a view as its second argument; without any loop, show how to begin.

    A form says in its field `loop` which loop it was drawn for: with two pages open on two loops, each writes its own.
    """

    @wraps(view)
    def with_loop(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        if named := request.POST.get("loop"):
            choose(request, found(_person(request), named))
        loop = current(request)
        return redirect("begin") if loop is None else view(request, loop, *args, **kwargs)

    return with_loop


def _person(request: HttpRequest) -> User:
    assert request.user.is_authenticated
    return request.user
