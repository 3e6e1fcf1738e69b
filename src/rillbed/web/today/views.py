"""What to do now: the page, and the "done" that writes the log."""

from __future__ import annotations

import json
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rillbed.garden.errors import GardenError
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import LogRow, Loop
from rillbed.web.today.page import page
from rillbed.words.happened import happened

WAIT_S = 1.0
AGAIN_S = 2


@needs_loop
def today(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what to do; an older forecast with its age while a new one is being worked out."""
    log = bridge.entries(loop)
    system, now = bridge.standing_system(loop), clock.now()
    on = system.day_of(now)
    fresh = worker.wait_for(loop, on, WAIT_S)
    answer = store.latest(loop, on)
    context: dict[str, object] = {"problem": answer.problem, "undo": uuid4()}
    if answer.today is not None:
        context["page"] = page(system, bridge.first_system(log), log, answer, now)
    response = render(request, "today/today.html", context)
    if not fresh and worker.running():
        # A header, not a tag: it works without scripts, and only until the new forecast is there.
        response["Refresh"] = str(AGAIN_S)
    return response


@require_POST
@needs_loop
def done(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Write the entry of a job that was done; pressing twice writes it once."""
    try:
        key = UUID(request.POST.get("uuid", ""))
        payload = json.loads(request.POST.get("payload", ""))
        if request.POST.get("bed"):
            payload |= {"bed": request.POST["bed"], "count": int(request.POST.get("count", ""))}
        if LogRow.objects.filter(loop=loop, uuid=key).exists():
            return redirect("today")
        author, kind = request.user.get_username(), request.POST.get("kind", "")
        entry = bridge.written(uuid=key, at=clock.now(), author=author, kind=kind, payload=payload)
        bridge.add(loop, entry)
    except GardenError as error:
        messages.error(request, f"Nothing was stored. {error}")
    except (ValueError, TypeError):
        return HttpResponse("done: needs uuid, kind and payload (JSON)\n", status=400, content_type="text/plain")
    else:
        messages.success(request, f"Saved: {happened(entry)}.")
        worker.wake()
    return redirect("today")
