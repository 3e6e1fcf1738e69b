"""What is the matter, and the sheet to show somebody who knows."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from rillbed.facts import trouble as table
from rillbed.garden.errors import GardenError, one_of
from rillbed.garden.log import LogEntry
from rillbed.plan.elements.symptoms import seen_of
from rillbed.plan.trouble import Case, triage
from rillbed.plan.trouble.sheet import sheet
from rillbed.tongue import many
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.models import Loop
from rillbed.web.trouble import asking
from rillbed.web.trouble.page import answer
from rillbed.web.trouble.paper import Paper, paper

STATIC = Path(__file__).parent.parent / "static" / "rillbed"
STYLES = ("tokens.css", "base.css", "words.css", "components.css", "charts.css", "print.css")


@needs_loop
def trouble(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Answer from the log and what the address says is seen; on POST write that down in the log."""
    given = request.POST if request.method == "POST" else request.GET
    try:
        seen = _seen({code: str(given[code]) for code in given if code in table.clues() and given[code]})
    except GardenError as error:
        return render(request, "trouble/trouble.html", {"problem": str(error), "begin": asking.begin()}, status=400)
    author = request.user.get_username()
    told = [_entry(code, value, author) for code, value in seen.items()]
    if request.method == "POST":
        bridge.add(loop, *told)
        worker.wake()
        messages.success(
            request,
            many("Written down: {n} thing seen.", "Written down: {n} things seen.", len(told)).format(n=len(told)),
        )
        return redirect(f"{reverse('trouble')}?{urlencode(seen)}")
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    found = triage(bridge.first_system(log), log.seen(told), on=clock.today(system))
    context = {
        "begin": asking.begin(),
        "groups": asking.groups(seen),
        "seen": asking.said(seen),
        "answer": answer(found, seen),
        "query": list(seen.items()),
        "leaves": urlencode(seen_of(seen)),
    }
    return render(request, "trouble/trouble.html", context)


@needs_loop
def expert(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show one page with what helpers always ask for."""
    return render(request, "trouble/sheet.html", {"paper": _paper(loop), "frame": "frame/base.html"})


@require_safe
@needs_loop
def expert_file(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Give the same page as one file that needs nothing else: styles inside, no scripts, no links."""
    found = _paper(loop)
    styles = "\n".join((STATIC / name).read_text("utf-8") for name in STYLES)
    context = {"paper": found, "frame": "trouble/file.html", "styles": mark_safe(styles)}
    response = render(request, "trouble/sheet.html", context)
    response["Content-Disposition"] = 'attachment; filename="loop.html"'
    return response


def _paper(loop: Loop) -> Paper:
    log = bridge.entries(loop)
    system = bridge.standing_system(loop)
    return paper(sheet(Case(bridge.first_system(log), tuple(log), clock.today(system))))


def _seen(given: dict[str, str]) -> dict[str, str]:
    for code, value in given.items():
        answers = table.clues()[code].answers
        if value not in answers:
            raise GardenError(code, value, one_of(answers))
    return given


def _entry(code: str, value: str, author: str) -> LogEntry:
    payload = {"what": code, "text": value}
    return bridge.written(uuid=uuid4(), at=clock.now(), author=author, kind="observation", payload=payload)
