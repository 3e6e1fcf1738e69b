"""Everything that happened: reading, correcting and taking back."""

from __future__ import annotations

from uuid import UUID, uuid4, uuid5

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.garden.log import PAYLOADS
from rillbed.garden.system import System
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.log.chains import Chain, chain_of, chains
from rillbed.web.log.correct import fields, kept, kit_of, payload
from rillbed.web.log.models import Loop
from rillbed.web.water import sheet
from rillbed.web.water.when import TYPED, moment
from rillbed.words.happened import happened

A_PAGE = 40


@needs_loop
def log(request: HttpRequest, loop: Loop) -> HttpResponse:
    """List what happened, the latest first."""
    asked = request.GET.get("kind", "")
    every = chains(bridge.entries(loop))
    shown = [one for one in every if not asked or one.first.kind == asked]
    sheet_of = Paginator(shown, A_PAGE).get_page(request.GET.get("sheet"))
    present = {one.first.kind for one in every}
    system = bridge.standing_system(loop)
    context = {
        "lines": [_line(one, system) for one in sheet_of],
        "sheet": sheet_of,
        "kinds": [(kind, kind.replace("_", " ")) for kind in PAYLOADS if kind in present],
        "asked": asked,
        "count": len(every),
        "uuid": uuid4(),
    }
    return render(request, "log/log.html", context)


def _line(chain: Chain, system: System) -> dict[str, object]:
    local = clock.local(system, chain.now.at if chain.standing else chain.first.at)
    last = chain.now if chain.standing else chain.before[-1]
    return {
        "day": words.day(local.date()) + ("" if local.year == clock.now().year else f" {local.year}"),
        "time": f"{local:%H:%M}",
        "author": last.author,
        "what": happened(last),
        "uuid": last.uuid,
        "standing": chain.standing,
        "before": [happened(one) for one in chain.before[: None if chain.standing else -1]],
        "back": "" if chain.standing else f"{happened(chain.now)}, by {chain.now.author or 'somebody'}",
        "by": chain.now.author if chain.before else "",
    }


@require_POST
@needs_loop
def withdraw(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Take entries back; they stay in the log, struck through."""
    back = "today" if request.POST.get("next") == "today" else "log"
    try:
        key = UUID(request.POST.get("uuid", ""))
        targets = [UUID(text) for text in request.POST.getlist("entry")]
    except ValueError:
        return HttpResponse("withdraw: needs uuid and entry\n", status=400, content_type="text/plain")
    log = bridge.entries(loop)
    standing = [chain_of(log, target) for target in targets]
    if None in standing:
        raise Http404
    author, now = request.user.get_username(), clock.now()
    gone = [
        bridge.written(
            uuid=uuid5(key, str(chain.now.uuid)), at=now, author=author, kind="withdrawn", payload={},
            supersedes=chain.now.uuid,
        )
        for chain in standing
        if chain is not None and chain.standing
    ]  # fmt: skip
    try:
        bridge.add(loop, *gone)
    except GardenError as error:
        messages.error(request, f"Nothing was taken back. {error}")
        return redirect(back)
    told = "; ".join(happened(chain.now) for chain in standing if chain is not None and chain.standing)
    if gone:
        messages.success(request, f"Taken back: {told}.")
        worker.wake()
    return redirect(back)


@needs_loop
def correct(request: HttpRequest, loop: Loop, uuid: UUID) -> HttpResponse:
    """Write an entry that replaces another."""
    chain = chain_of(bridge.entries(loop), uuid)
    if chain is None or not chain.standing:
        raise Http404
    entry, system, problem = chain.now, bridge.standing_system(loop), ""
    kit = kit_of(entry, system)
    filled = {name: request.POST.getlist(name) for name in request.POST}
    if kit is not None:
        filled |= kept(kit, entry)
    if request.method == "POST":
        try:
            at = moment(system, request.POST.get("at", "")) if request.POST.get("at") else entry.at
            if at == entry.at.replace(second=0, microsecond=0):
                at = entry.at  # the form shows no seconds
            held = sheet.payload(kit, filled) if kit else payload(entry, request.POST.dict())
            new = bridge.written(
                uuid=UUID(request.POST.get("uuid", "")), at=at, author=request.user.get_username(), kind=entry.kind,
                payload=held or {}, supersedes=entry.uuid,
            )  # fmt: skip
            bridge.add(loop, new)
        except ValueError as error:
            problem = str(error)
        else:
            messages.success(request, f"Corrected: {happened(new)}.")
            worker.wake()
            return redirect("log")
    context = {
        "what": happened(entry),
        "sheet": sheet.block(kit, filled) if kit else None,
        "fields": [] if kit else fields(entry),
        "at": request.POST.get("at") or clock.local(system, entry.at).strftime(TYPED),
        "uuid": uuid4(),
        "problem": problem,
    }
    return render(request, "log/correct.html", context, status=400 if problem else 200)
