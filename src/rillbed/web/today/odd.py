"""Readings that do not fit: the question, and an entry for each of its answers."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID, uuid5

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.plan.advice import figures
from rillbed.plan.learned import CONFIRMED, Learned, Question
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.chains import chain_of
from rillbed.web.log.models import Loop
from rillbed.words import learned, say

MISREAD, LEFT, RIGHT = "misread", "left", "right"


@dataclass(frozen=True)
class Asked:
    """A question as shown: its sentence, the readings it is about, and the answers with their buttons."""

    text: str
    entries: tuple[str, ...]
    litres: str
    answers: tuple[tuple[str, str], ...]


def asked(known: Learned | None, standing: frozenset[str]) -> tuple[Asked, ...]:
    """Return what is to be asked; readings that were corrected or taken back since are left out."""
    if known is None:
        return ()
    return tuple(_asked(one) for one in known.questions if one.ask and standing.issuperset(one.entries))


def _asked(item: Question) -> Asked:
    left = ((LEFT, tr("Water left")),) if item.event == "water_left" else ()
    answers = ((MISREAD, tr("Misread")), *left, (RIGHT, tr("The reading is right")))
    return Asked(learned.question(item), item.entries, json.dumps(figures(item.litres)), answers)


@require_POST
@needs_loop
def answer(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Write the entry of an answer; pressing twice writes it once."""
    try:
        keys = [UUID(text) for text in request.POST.getlist("entry")]
        litres = float(request.POST.get("litres", "0"))
    except ValueError:
        return HttpResponse("odd: needs entry and litres\n", status=400, content_type="text/plain")
    said = request.POST.get("answer", "")
    log = bridge.entries(loop)
    found = [chain.now for key in keys if (chain := chain_of(log, key)) is not None and chain.standing]
    if not found or said not in (MISREAD, LEFT, RIGHT):
        return redirect("today")
    try:
        bridge.add(loop, *_entries(said, found, litres, request.user.get_username()))
    except GardenError as error:
        messages.error(request, say("Nothing was written. {why}", why=str(error)))
    else:
        messages.success(request, tr("Saved. The forecast is being worked out again."))
        worker.wake()
    return redirect("today")


def _entries(said: str, about: list[LogEntry], litres: float, author: str) -> list[LogEntry]:
    now = clock.now()
    if said == MISREAD:
        return [
            bridge.written(
                uuid=uuid5(one.uuid, MISREAD), at=now, author=author, kind="withdrawn", payload={"reason": "misread"},
                supersedes=one.uuid,
            )
            for one in about
        ]  # fmt: skip
    if said == LEFT:
        # Before the reading that saw it, and the loop was filled up again.
        before = min(one.at for one in about) - timedelta(minutes=1)
        payload = {"volume": {"value": litres, "unit": "L"}}
        key = uuid5(about[0].uuid, LEFT)
        return [bridge.written(uuid=key, at=before, author=author, kind="water_changed", payload=payload)]
    return [
        bridge.written(
            uuid=uuid5(one.uuid, RIGHT), at=now, author=author, kind="observation",
            payload={"what": CONFIRMED, "text": str(one.uuid)},
        )
        for one in about
    ]  # fmt: skip
