"""Everything that happened: reading, correcting and taking back."""

from __future__ import annotations

from urllib.parse import quote
from uuid import UUID, uuid4, uuid5

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.garden.system import System
from rillbed.tongue import later, tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.roles import may_change, refused
from rillbed.web.log.chains import Chain, chain_of, chains
from rillbed.web.log.kinds import KINDS, families
from rillbed.web.log.models import Loop, Role
from rillbed.words.happened import happened

A_PAGE = 40
TITLES = {one.key: one.title for one in KINDS}
# What the buttons above the list let through; tests of the water are a family of their own there.
TESTS = ("reading", "temperature")
FAMILIES = (
    {later("Tests"): TESTS}
    | {name: tuple(one.key for one in kinds if one.key not in TESTS) for name, kinds in families()}
    | {
        later("Set-up"): ("set_up",),
    }
)


@needs_loop
def log(request: HttpRequest, loop: Loop) -> HttpResponse:
    """List what happened, the latest first."""
    every = chains(bridge.entries(loop))
    present = {one.first.kind for one in every}
    families_here = [(name, keys) for name, keys in FAMILIES.items() if any(key in present for key in keys)]
    only = request.GET.getlist("only")
    asked = [name for name, _ in families_here if name in only]
    single = next((key for key in PAYLOADS if key in only and key in present), "")
    wanted = {key for name in asked for key in FAMILIES[name]} | ({single} if single else set())
    shown = [one for one in every if not wanted or one.first.kind in wanted]
    sheet_of = Paginator(shown, A_PAGE).get_page(request.GET.get("sheet"))
    system = bridge.standing_system(loop)
    context = {
        "lines": [
            _line(one, system) | {"mine": may_change(loop, request.user.get_username(), one.now.author)}
            for one in sheet_of
        ],
        "sheet": sheet_of,
        "only": [(name, name in asked) for name, _ in families_here],
        "kinds": [(key, tr(TITLES.get(key, "Set-up")), key == single) for key in PAYLOADS if key in present],
        "asked": "".join(f"&only={quote(name)}" for name in (*asked, single) if name),
        "count": len(every),
        "found": len(shown),
        "since": words.day(system.started_on, year=True),
        "families": families(),
        "uuid": uuid4(),
    }
    return render(request, "log/log.html", context)


def _line(chain: Chain, system: System) -> dict[str, object]:
    local = clock.local(system, chain.now.at if chain.standing else chain.first.at)
    last = chain.now if chain.standing else chain.before[-1]
    return {
        "day": words.day(local.date(), year=local.year != clock.now().year),
        "time": words.clock(local),
        "author": last.author,
        "what": happened(last),
        "uuid": last.uuid,
        "standing": chain.standing,
        "before": [_old(one, system) for one in chain.before[: None if chain.standing else -1]],
        "back": ""
        if chain.standing
        else words.say("{what}, by {who}", what=happened(chain.now), who=_told(chain.now, system)),
        "by": _told(chain.now, system) if chain.before else "",
    }


def _old(entry: LogEntry, system: System) -> tuple[str, str]:
    return happened(entry), _told(entry, system)


def _told(entry: LogEntry, system: System) -> str:
    """Say who wrote an entry and when, which for a correction is later than what it tells of."""
    at = clock.local(system, entry.recorded_at)
    return f"{entry.author or tr('somebody')}, {words.day(at.date())} {words.clock(at)}"


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
    if not all(may_change(loop, author, chain.now.author) for chain in standing if chain is not None):
        return refused(request, loop, Role.OWNER)
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
        messages.error(request, words.say("Nothing was taken back. {why}", why=str(error)))
        return redirect(back)
    told = "; ".join(happened(chain.now) for chain in standing if chain is not None and chain.standing)
    if gone:
        messages.success(request, words.say("Taken back: {what}.", what=told))
        worker.wake()
    return redirect(back)
