"""The lesson: for those who are signed in, and by a signed link for those who are not."""

from __future__ import annotations

from dataclasses import asdict
from urllib.parse import urlencode

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from rillbed.garden.errors import GardenError
from rillbed.plan.lesson import Settings
from rillbed.web import bridge
from rillbed.web.frame.loops import current
from rillbed.web.setup.measures import plain
from rillbed.web.teach.form import LINK_DAYS, opened, seeds, settings_of, sliders, token_of
from rillbed.web.teach.page import page


@require_safe
def lesson_page(request: HttpRequest) -> HttpResponse:
    """Show the lesson with the settings of the address."""
    loop = current(request)
    like = ""
    if loop is not None:
        like = urlencode(asdict_text(Settings().like(bridge.standing_system(loop))))
    try:
        settings, problem = settings_of(request.GET.dict()), ""
    except GardenError as error:
        settings, problem = Settings(), str(error)
    link = request.build_absolute_uri(reverse("lesson-shared", args=[token_of(settings)]))
    more = {"link": link, "days": LINK_DAYS, "like": like, "problem": problem, "frame": "frame/base.html"}
    return _shown(request, settings, more, 400 if problem else 200)


@login_not_required
@require_safe
def shared(request: HttpRequest, secret: str) -> HttpResponse:
    """Show the lesson of a signed link; sliding goes on within it, and nothing else can be seen."""
    signed = opened(secret)
    if signed is None:
        return render(request, "teach/over.html", status=410)
    try:
        settings = settings_of(asdict_text(signed) | request.GET.dict())
    except GardenError:
        settings = signed
    return _shown(request, settings, {"frame": "teach/solo.html"}, 200)


def asdict_text(settings: Settings) -> dict[str, str]:
    """Give settings as an address would have them."""
    return {name: plain(value) if isinstance(value, float) else str(value) for name, value in asdict(settings).items()}


def _shown(request: HttpRequest, settings: Settings, more: dict[str, object], status: int) -> HttpResponse:
    context = {
        "page": page(settings),
        "settings": settings,
        "sliders": sliders(settings),
        "seeds": seeds(settings),
    } | more
    response = render(request, "teach/lesson.html", context, status=status)
    response["X-Robots-Tag"] = "noindex"
    return response
