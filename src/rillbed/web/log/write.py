"""Writing an entry of any kind: anew, as done, or in place of another."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.pages import PAGES
from rillbed.web.frame.roles import may_change, refused
from rillbed.web.log import form
from rillbed.web.log.cares import after, asked_again, cares
from rillbed.web.log.chains import chain_of
from rillbed.web.log.correct import kept, kit_of
from rillbed.web.log.kinds import Kind, kind_of
from rillbed.web.log.models import LogRow, Loop, Role
from rillbed.web.offline.late import made
from rillbed.web.water import sheet
from rillbed.web.water.when import TYPED, moment
from rillbed.words.happened import happened

Typed = Mapping[str, str]
PLACES = frozenset(page.address for page in PAGES)  # where a "done" may lead back to


@needs_loop
def add(request: HttpRequest, loop: Loop, kind: str) -> HttpResponse:
    """Ask for an entry of a kind; store a filled one."""
    found = kind_of(kind)
    if found is None:
        raise Http404
    fields = found.fields(state := _state(loop))
    if request.method != "POST":
        return _page(request, loop, state, found, form.fresh(fields), {})
    typed = request.POST.dict()
    told = form.read(found.key, fields, typed, state.system)
    return _write(request, loop, state, found, typed, told.payload, told.problems, "log")


@require_POST
@needs_loop
def done(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Write the entry of a job that was done, with what was changed of it; pressing twice writes it once."""
    typed = request.POST.dict()
    found = kind_of(typed.get("kind", ""))
    try:
        key, base = UUID(typed.get("uuid", "")), json.loads(typed.get("payload", ""))
        if found is None or not isinstance(base, dict):
            raise ValueError
    except ValueError:
        return HttpResponse("done: needs uuid, kind and payload (JSON)\n", status=400, content_type="text/plain")
    back = typed.get("back", "") if typed.get("back") in PLACES else "today"
    if (there := LogRow.objects.filter(loop=loop, uuid=key).first()) is not None:
        if there.author != request.user.get_username():
            # Two pressed the same job: it happened once, unless the second says otherwise.
            written = bridge.entry(there)
            at = words.clock(clock.local(bridge.standing_system(loop), written.at))
            already = words.say(
                "{who} wrote this down already, at {at}: {what}. "
                "It stands in the log once; if you did it as well, add yours there.",
                who=there.author or tr("Somebody"), at=at, what=happened(written),
            )  # fmt: skip
            messages.warning(request, already)
        return redirect(back)
    # Only what the form of the job asks for takes the place of what was advised.
    state = _state(loop)
    every = found.fields(state)
    fields = tuple(one for one in every if one.name in typed)
    told = form.read(found.key, fields, typed, state.system, base, shown=every)
    return _write(request, loop, state, found, typed, told.payload, told.problems, back)


def _write(
    request: HttpRequest,
    loop: Loop,
    state: LoopState,
    found: Kind,
    typed: Typed,
    payload: dict[str, Any],
    problems: dict[str, str],
    back: str,
) -> HttpResponse:
    try:
        key = _uuid(typed)
    except GardenError as error:
        return _page(request, loop, state, found, {**typed, "uuid": ""}, problems | {"": str(error)}, back=back)
    if LogRow.objects.filter(loop=loop, uuid=key).exists():
        return redirect(back)  # sent again: it arrived the first time
    try:
        at = moment(state.system, typed["at"]) if typed.get("at") else made(typed) or clock.now()
    except GardenError as error:
        problems["at"] = form.sentence(error)
    if not problems:
        try:
            new = bridge.written(uuid=key, at=at, author=request.user.get_username(), kind=found.key, payload=payload)
            with transaction.atomic():
                # Asked and written under one lock: of two who feed at once, the second is asked.
                Loop.objects.select_for_update().get(pk=loop.pk)
                held = () if typed.get("anyway") else asked_again(new, state, bridge.entries(loop))
                if not held:
                    bridge.add(loop, new)
        except GardenError as error:
            problems |= _problem(error, found, state)
        else:
            if held:
                return _page(request, loop, state, found, typed, {}, back=back, held=held)
            messages.success(request, words.say("Saved: {what}.", what=happened(new)))
            for line in after(new, state):
                messages.warning(request, line)
            worker.wake()
            return redirect(back)
    shown = dict(typed)
    if "payload" in typed:
        # The job's own form shows only what is likely to differ; the page shows all of it.
        shown = form.filled(found.fields(state), payload, state.system) | shown
    return _page(request, loop, state, found, shown, problems, back=back)


def _page(
    request: HttpRequest,
    loop: Loop,
    state: LoopState,
    found: Kind,
    typed: Typed,
    problems: Mapping[str, str],
    back: str = "log",
    held: tuple[str, ...] = (),
) -> HttpResponse:
    fields = form.bound(found.fields(state), typed, problems)
    context = {
        "title": tr(found.title),
        "fields": fields,
        "wrong": [one for one in fields if one.problem],
        "problem": problems.get("", ""),
        "at": typed.get("at") or clock.local(state.system, clock.now()).strftime(TYPED),
        "at_problem": problems.get("at", ""),
        "uuid": typed.get("uuid") or uuid4(),
        "hidden": [(name, typed[name]) for name in ("kind", "payload", "back") if "payload" in typed and name in typed],
        "action": reverse("done") if "payload" in typed else reverse("log-add", args=[found.key]),
        "back": back,
        "cares": cares(found.key, state, bridge.entries(loop)),
        "held": held,
        "held_title": tr("Once more?") if found.key == "feeding" else tr("Stop and read before it is used."),
    }
    return render(request, "log/entry.html", context, status=400 if problems or held else 200)


@needs_loop
def correct(request: HttpRequest, loop: Loop, uuid: UUID) -> HttpResponse:
    """Write an entry that replaces another."""
    log = bridge.entries(loop)
    chain = chain_of(log, uuid)
    if chain is None or not chain.standing:
        raise Http404
    entry, system = chain.now, bridge.standing_system(loop)
    if not may_change(loop, request.user.get_username(), entry.author):
        return refused(request, loop, Role.OWNER)
    if (found := kind_of(entry.kind)) is None:
        return redirect("setup")  # a set-up has its own form
    state = _state(loop)
    fields = found.fields(state)
    kit = kit_of(entry, system)
    asked = {name: request.POST.getlist(name) for name in request.POST}
    if kit is not None:
        asked |= kept(kit, entry)
    problems: dict[str, str] = {}
    typed = form.filled(fields, entry.payload, system)
    if request.method == "POST":
        typed = request.POST.dict()
        try:
            new = _corrected(request, entry, state, found, asked)
            bridge.add(loop, new)
        except _Refused as wrong:
            problems = wrong.problems
        except GardenError as error:
            problems = _problem(error, found, state)
        else:
            messages.success(request, words.say("Corrected: {what}.", what=happened(new)))
            worker.wake()
            return redirect("log")
    shown = form.bound(fields, typed, problems)
    context = {
        "title": tr("Correct an entry"),
        "what": happened(entry),
        "sheet": sheet.block(kit, asked) if kit else None,
        "fields": [] if kit else shown,
        "wrong": [] if kit else [one for one in shown if one.problem],
        "problem": problems.get("", ""),
        "at": request.POST.get("at") or clock.local(system, entry.at).strftime(TYPED),
        "at_problem": problems.get("at", ""),
        "uuid": uuid4(),
        "action": reverse("correct", args=[uuid]),
    }
    return render(request, "log/entry.html", context, status=400 if problems else 200)


class _Refused(Exception):
    def __init__(self, problems: dict[str, str]) -> None:
        self.problems = problems


def _corrected(
    request: HttpRequest, entry: LogEntry, state: LoopState, found: Kind, asked: Mapping[str, list[str]]
) -> LogEntry:
    typed, problems = request.POST.dict(), {}
    at = entry.at
    try:
        at = _moment(state.system, typed.get("at", ""), entry)
    except GardenError as error:
        problems["at"] = form.sentence(error)
    if kit := kit_of(entry, state.system):
        payload = sheet.payload(kit, asked)
        if payload is None:
            problems[""] = tr("Press the step that is right.")
    else:
        base = entry.payload.model_dump(mode="json", exclude_none=True)
        told = form.read(entry.kind, found.fields(state), typed, state.system, base)
        payload, problems = told.payload, told.problems | problems
    if problems:
        raise _Refused(problems)
    return bridge.written(
        uuid=_uuid(typed), at=at, author=request.user.get_username(), kind=entry.kind, payload=payload or {},
        supersedes=entry.uuid,
    )  # fmt: skip


def _moment(system: System, typed: str, entry: LogEntry) -> datetime:
    # The form shows no seconds, nor which of two equal hours: an untouched time stays the one it was.
    if not typed or typed == clock.local(system, entry.at).strftime(TYPED):
        return entry.at
    return moment(system, typed)


def _problem(error: GardenError, found: Kind, state: LoopState) -> dict[str, str]:
    """Say a refusal at the field it is about, else above the form."""
    for part in error.field.split("."):
        if part in {one.name for one in found.fields(state)}:
            return {part: form.sentence(error)}
    return {"": str(error)}


def _uuid(typed: Typed) -> UUID:
    try:
        return UUID(typed.get("uuid", ""))
    except ValueError:
        raise GardenError("uuid", typed.get("uuid", ""), tr("the form has lost its key; open it again")) from None


def _state(loop: Loop) -> LoopState:
    log = bridge.entries(loop)
    return state_at(bridge.first_system(log), log, clock.today(bridge.standing_system(loop)))
