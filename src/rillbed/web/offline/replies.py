"""What a waiting entry is answered: where to go on, or that somebody must sign in first."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse

HEADER = "X-Rillbed-Queue"
KEEP = "X-Rillbed-Keep"


def _may_be_kept(request: HttpRequest, response: HttpResponse) -> bool:
    """Whether a phone may keep a copy: a page of somebody signed in that holds no secret."""
    user = getattr(request, "user", None)
    return (
        request.method == "GET"
        and response.status_code == 200
        and user is not None
        and user.is_authenticated
        and response.get("Content-Type", "").startswith("text/html")
        and "no-store" not in response.get("Cache-Control", "")
    )


def replies(answer: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Turn redirects into plain data for the queue of the phone, which cannot see where a redirect leads."""

    def answered(request: HttpRequest) -> HttpResponse:
        if HEADER in request.headers and request.headers[HEADER] != str(request.user.pk):
            # somebody else is signed in on this phone now: it waits for whoever made it
            return JsonResponse({"to": reverse("sign-in")}, status=401)
        response = answer(request)
        if _may_be_kept(request, response):
            response[KEEP] = "page"
        if HEADER not in request.headers or response.status_code != 302:
            return response
        to = response["Location"]
        if to.startswith(reverse("sign-in")):
            return JsonResponse({"to": to}, status=401)
        return JsonResponse({"to": to})

    return answered
