"""The calendar of upkeep."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from rillbed.garden.chains import effective
from rillbed.plan.upkeep import upkeep
from rillbed.web import bridge, clock
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.upkeep.page import page


@require_safe
@needs_loop
def upkeep_page(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show this week's jobs, the next six weeks and the age of parts."""
    log = effective(bridge.entries(loop))
    system = bridge.standing_system(loop)
    on = clock.today(system)
    known = frozenset(entry.uuid for entry in log)
    context = {"page": page(system, log, upkeep(system, log, on), str(loop.pk), known)}
    return render(request, "upkeep/upkeep.html", context)
