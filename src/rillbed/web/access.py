"""What a browser may load, and what is open without signing in."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; object-src 'none'; "
    "base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
)


def content_policy(answer: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Put the content security policy on every response."""

    def with_policy(request: HttpRequest) -> HttpResponse:
        response = answer(request)
        response["Content-Security-Policy"] = POLICY
        return response

    return with_policy


@login_not_required
def health(request: HttpRequest) -> HttpResponse:
    """Say that the server answers."""
    return HttpResponse("ok\n", content_type="text/plain")
