"""The page of the calendar, and the calendar itself for whoever has its address."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.web.calendar import feeds
from rillbed.web.calendar.written import items, written
from rillbed.web.frame.loops import loops_of
from rillbed.web.frame.roles import ANYBODY, needs
from rillbed.words import day, say

if TYPE_CHECKING:
    from django.contrib.auth.models import User


def _person(request: HttpRequest) -> User:
    assert request.user.is_authenticated
    return request.user


@never_cache
@needs(ANYBODY)
def calendar(request: HttpRequest) -> HttpResponse:
    """Show six weeks of all one's loops; make an address for a phone and show it, this once."""
    me, address = _person(request), ""
    if request.method == "POST":
        address = request.build_absolute_uri(reverse("calendar-feed", kwargs={"secret": feeds.make(me)}))
    loops = loops_of(me)
    context = {
        "address": address,
        "feed": feeds.good(me),
        "several": len(loops) > 1,
        "rows": [
            (
                day(one.first)
                if one.first == one.last
                else say("{first:day} to {last:day}", first=one.first, last=one.last),
                one.text,
                one.loop.name,
            )
            for one in items(loops)
        ],
    }
    return render(request, "calendar/calendar.html", context)


@require_POST
@needs(ANYBODY)
def close(request: HttpRequest) -> HttpResponse:
    """Close one's address."""
    feeds.close(_person(request))
    messages.success(request, tr("Closed: nothing comes to that calendar any more."))
    return redirect("calendar")


@login_not_required
@never_cache
@require_safe
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    """Give the calendar of whoever the address belongs to."""
    person = feeds.whose(secret)
    if person is None:
        return HttpResponse(tr("This calendar was closed.") + "\n", status=410, content_type="text/plain")
    response = HttpResponse(written(items(loops_of(person)), clock.now()), content_type="text/calendar; charset=utf-8")
    response["X-Robots-Tag"] = "noindex"
    response["Referrer-Policy"] = "no-referrer"
    return response
