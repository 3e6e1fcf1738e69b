"""Did forecasts hold: this loop's own, and those held against publications."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed import words
from rillbed.plan.trust import NOTHING, Held
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.trust.published import parts
from rillbed.words import learned


@needs_loop
def trust(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show how each reading fell in the forecast that was made before it."""
    on = clock.today(bridge.standing_system(loop))
    told = store.latest(loop, on).today
    found = told.known.trust if told is not None and told.known is not None else NOTHING
    context = {
        "score": learned.score(found),
        "count": found.count,
        "kept": [learned.kept(one) for one in found.kept],
        "latest": [_row(one) for one in found.latest],
        "quick": told is not None and told.basis in ("quick", "unread", "before"),
    }
    return render(request, "trust/trust.html", context)


def _row(item: Held) -> tuple[str, str, str]:
    beyond = tr("lower than foreseen") if item.place < 0.5 else tr("higher than foreseen")
    where = tr("inside") if item.inside else beyond
    return words.day(item.on), learned.kept_name(item.quantity), where


@require_safe
def published(request: HttpRequest) -> HttpResponse:
    """Show the validation against publications."""
    return render(request, "trust/published.html", {"parts": parts()})
