"""Days away: listing them, writing one or a whole year of them, changing and removing one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any
from uuid import UUID, uuid4, uuid5

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.spells import spells
from rillbed.garden.state import LoopState
from rillbed.plan.away import SHARES, Shares, check
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.away.events import lines_of
from rillbed.web.away.lines import Row, rows_of
from rillbed.web.away.page import days_of, page, stretch
from rillbed.web.away.shares import compared
from rillbed.web.away.waiting import looking_again, waiting
from rillbed.web.forecasts import aways, worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.roles import may_change, refused
from rillbed.web.log import form
from rillbed.web.log.cares import cares
from rillbed.web.log.chains import chain_of
from rillbed.web.log.kinds import kind_of
from rillbed.web.log.models import LogRow, Loop, Role
from rillbed.web.paper.asked import away_of, next_asked
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import number
from rillbed.words import say
from rillbed.words.happened import fed, happened
from rillbed.words.happened import spell as spell_said

KIND = "away"
YEAR = ("by", "feed_share")  # what a whole year is asked for, beside its lines


@needs_loop
def away(request: HttpRequest, loop: Loop) -> HttpResponse:
    """List the spells; write a new one."""
    if request.method != "POST":
        return _page(request, loop, {}, {})
    typed = request.POST.dict()
    problems = _write(request, loop, typed, None)
    return _page(request, loop, typed, problems) if problems else redirect("away")


@require_POST
@needs_loop
def year(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Read lines, or a calendar file as lines; show what would come of them, or keep them."""
    typed, system = request.POST.dict(), bridge.standing_system(loop)
    rows: list[Row] = []
    notes: tuple[str, ...] = ()
    keep = bool(typed.get("keep"))
    try:
        if (file := request.FILES.get("file")) is not None:
            found = lines_of(file.read(2**20 + 1), system, clock.today(system))
            # What stands in a file is looked over first.
            typed["lines"], keep = "\n".join(filter(None, (typed.get("lines", "").strip(), found.text))), False
            notes = found.notes
        share = number("feed_share", typed.get("feed_share") or "0")
        with transaction.atomic():
            Loop.objects.select_for_update().get(pk=loop.pk)
            log = bridge.entries(loop)
            rows = rows_of(typed.get("lines", ""), typed.get("by", "").strip(), share, log)
            fresh = [row for row in rows if row.spell is not None and not row.known]
            wrong = any(row.problem for row in rows)
            if keep and not wrong:
                bridge.add(loop, *_entries(request, fresh, UUID(typed.get("uuid", ""))))
    except GardenError as error:
        told = {error.field: form.sentence(error)}
        return _page(request, loop, {}, {}, year=typed, year_problems=told, notes=notes)
    except ValueError:
        return _page(request, loop, {}, {}, year=typed, year_problems={"": tr("The form has lost its key; send again")})
    if not keep or wrong:
        return _page(request, loop, {}, {}, year=typed, rows=rows, notes=notes)
    if fresh:
        messages.success(request, say("Saved: {n:count spell} away.", n=len(fresh)))
        worker.wake()
    else:
        messages.success(request, tr("Nothing new: all of these were there already."))
    return redirect("away")


@require_safe
@needs_loop
def feed_shares(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Show what nothing, a quarter, half and all of the ration would come to in some days."""
    on, typed = clock.today(bridge.standing_system(loop)), request.GET.dict()
    asked = typed or next_asked(bridge.entries(loop), on)
    if not asked:
        return redirect("away")
    try:
        first, last, _ = away_of(asked)
        check(on, first, last)
    except GardenError as error:
        return render(request, "away/shares.html", {"problem": str(error)}, status=400)
    found = aways.ask(loop, on, first, last, SHARES)
    waits = waiting(loop, on, found)
    context = {
        "found": compared(Shares.of(found.rows)) if len(found.rows) == found.of else None,
        "days": stretch(first, last),
        "problem": found.problem,
        "waiting": waits,
    }
    return looking_again(render(request, "away/shares.html", context), waits)


@needs_loop
def change(request: HttpRequest, loop: Loop, uuid: UUID) -> HttpResponse:
    """Change a spell, or remove it; the log keeps what was written before."""
    chain = chain_of(bridge.entries(loop), uuid)
    if chain is None:
        raise Http404
    old = chain.now
    if not isinstance(old.payload, Spell):
        return redirect("away")  # removed meanwhile, or no spell
    if not may_change(loop, request.user.get_username(), old.author):
        return redirect("away") if request.method != "POST" else refused(request, loop, Role.OWNER)
    state, fields = _form(loop)
    if request.method != "POST":
        return _one(request, old, form.filled(fields, old.payload, state.system), {}, state)
    typed = request.POST.dict()
    if typed.get("remove"):
        gone = bridge.written(
            uuid=uuid5(old.uuid, "removed"), at=clock.now(), author=request.user.get_username(), kind="withdrawn",
            payload={}, supersedes=old.uuid,
        )  # fmt: skip
        bridge.add(loop, gone)
        messages.success(request, say("Removed: {what}.", what=spell_said(old.payload)))
        worker.wake()
        return redirect("away")
    problems = _write(request, loop, typed, old)
    return _one(request, old, typed, problems, state) if problems else redirect("away")


def _form(loop: Loop) -> tuple[LoopState, tuple[Field, ...]]:
    log = bridge.entries(loop)
    state = state_at(bridge.first_system(log), log, clock.today(bridge.standing_system(loop)))
    kind = kind_of(KIND)
    assert kind is not None
    return state, kind.fields(state)


def _write(request: HttpRequest, loop: Loop, typed: Mapping[str, str], old: LogEntry | None) -> dict[str, str]:
    """Write a spell, or what it is changed to; give what is wrong, by field."""
    state, fields = _form(loop)
    told = form.read(KIND, fields, typed, state.system)
    if told.problems:
        return told.problems
    try:
        key = UUID(typed.get("uuid", ""))
    except ValueError:
        return {"": tr("The form has lost its key; send it again.")}
    if LogRow.objects.filter(loop=loop, uuid=key).exists():
        return {}  # sent again: it arrived the first time
    try:
        new = _entry(request, key, told.payload, old)
        bridge.add(loop, new)
    except GardenError as error:
        field = error.field.rsplit(".", 1)[-1]
        return {field: form.sentence(error)} if field in {one.name for one in fields} else {"": str(error)}
    messages.success(request, say("Saved: {what}.", what=happened(new)))
    worker.wake()
    return {}


def _entry(request: HttpRequest, key: UUID, payload: Mapping[str, Any], old: LogEntry | None = None) -> LogEntry:
    return bridge.written(
        uuid=key, at=clock.now() if old is None else old.at, author=request.user.get_username(), kind=KIND,
        payload=payload, supersedes=None if old is None else old.uuid,
    )  # fmt: skip


def _entries(request: HttpRequest, rows: list[Row], key: UUID) -> list[LogEntry]:
    found = [row.spell.model_dump(mode="json") for row in rows if row.spell is not None]
    return [_entry(request, uuid5(key, f"{told['first']} {told['last']}"), told) for told in found]


def _page(
    request: HttpRequest, loop: Loop, typed: Mapping[str, str], problems: Mapping[str, str], *,
    year: Mapping[str, str] | None = None, year_problems: Mapping[str, str] | None = None,
    rows: list[Row] | None = None, notes: tuple[str, ...] = (),
) -> HttpResponse:  # fmt: skip
    log, (state, fields) = bridge.entries(loop), _form(loop)
    person = request.user.get_username()
    mine = frozenset(entry.uuid for entry, _ in spells(log) if may_change(loop, person, entry.author))
    asked, faults = dict(year or {}), dict(year_problems or {})
    shown = [one for one in fields if one.name in YEAR]
    context = {
        "page": page(log, state.on, mine),
        "fields": form.bound(fields, typed, problems),
        "problem": problems.get("", ""),
        "year_fields": [replace(one, place="year-") for one in form.bound(shown, asked, faults)],
        "year_problem": faults.get("", ""),
        "lines": asked.get("lines", ""),
        "lines_problem": faults.get("lines", "") or faults.get("file", ""),
        "example": _example(state.on),
        "rows": [_shown(row) for row in rows or ()],
        "notes": notes,
        "wrong": any(row.problem for row in rows or ()),
        "new": sum(1 for row in rows or () if row.spell is not None and not row.known),
        "opened": year is not None,
        "cares": cares(KIND, state, log),
        "uuid": typed.get("uuid") or asked.get("uuid") or uuid4(),
    }
    failed = problems or faults or context["wrong"]
    return render(request, "away/away.html", context, status=400 if failed else 200)


def _example(on: date) -> str:
    """Give lines as an example of how they are written."""
    lines = (
        (tr("winter break"), date(on.year, 12, 20), date(on.year + 1, 1, 4)),
        (tr("spring break"), date(on.year + 1, 4, 4), date(on.year + 1, 4, 17)),
    )
    return "\n".join(f"{name}, {first.isoformat()}, {last.isoformat()}" for name, first, last in lines)


def _shown(row: Row) -> tuple[int, str, str, str, str]:
    """Give number, name, days, what would happen, and how it is marked."""
    if row.spell is None:
        return row.number, row.text[:80], "", row.problem, "wrong"
    told = tr("there already, left as it is") if row.known else fed(row.spell)
    return row.number, row.spell.name, days_of(row.spell), told, ""


def _one(
    request: HttpRequest, old: LogEntry, typed: Mapping[str, str], problems: Mapping[str, str], state: LoopState
) -> HttpResponse:
    kind = kind_of(KIND)
    assert kind is not None
    assert isinstance(old.payload, Spell)
    context = {
        "name": old.payload.name,
        "key": old.uuid,
        "fields": form.bound(kind.fields(state), typed, problems),
        "problem": problems.get("", ""),
        "uuid": uuid4(),
    }
    return render(request, "away/one.html", context, status=400 if problems else 200)
