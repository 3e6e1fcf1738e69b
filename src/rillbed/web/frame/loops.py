"""Which loop a request is about."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from rillbed.web.log.models import Loop


def current(request: HttpRequest) -> Loop | None:
    """Loop chosen in this session, else the first; None while there is none."""
    chosen = request.session.get("loop") or 0
    return Loop.objects.filter(pk=chosen).first() or Loop.objects.order_by("pk").first()


def choose(request: HttpRequest, loop: Loop) -> None:
    """Remember a loop for this session."""
    request.session["loop"] = loop.pk


def needs_loop(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Hand the loop to a view as its second argument; without any loop, show how to begin."""

    @wraps(view)
    def with_loop(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        loop = current(request)
        return redirect("begin") if loop is None else view(request, loop, *args, **kwargs)

    return with_loop
