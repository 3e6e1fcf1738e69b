"""What every template may count on."""

from __future__ import annotations

from django.http import HttpRequest

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.tongue import later, tr
from rillbed.web import bridge
from rillbed.web.frame.loops import current
from rillbed.web.frame.pages import doors
from rillbed.web.frame.roles import may
from rillbed.web.log.models import Loop, Role
from rillbed.web.offline.texts import texts

FORMS = {"water", "log-add", "correct"}  # pages that are mostly a form for the log
# What is said to whoever may only look, by their role and the role that saving takes.
SHORT_OF: dict[tuple[str, str], str] = {
    (Role.READER, Role.HELPER): later(
        "You are a reader here and may look; saving on this page takes a helper or an owner."
    ),
    (Role.READER, Role.OWNER): later("You are a reader here and may look; saving on this page takes an owner."),
    (Role.HELPER, Role.OWNER): later("You are a helper here and may look; saving on this page takes an owner."),
}
YOU_ARE: dict[str, str] = {Role.READER: later("you are a reader"), Role.HELPER: later("you are a helper")}


def frame(request: HttpRequest) -> dict[str, object]:
    """Return the list of pages and the loop line; nothing of either to whoever is not signed in."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"doors": ()}
    loop, always = current(request), {"doors": doors(request.path), "queue_words": texts()}
    if loop is None:
        return {**always, "loop_line": None}
    match = request.resolver_match
    least = getattr(match.func, "least_role", "") if match else ""
    if not least and match and match.url_name in FORMS:
        least = Role.HELPER
    short_of = "" if not least or may(loop, least) else tr(SHORT_OF.get((loop.role, least), ""))
    rights = {"role": loop.role, "may_log": may(loop, Role.HELPER), "may_own": may(loop, Role.OWNER)}
    rights |= {"short_of": short_of}
    return {**always, "loop_line": _line(loop), **rights}


def _line(loop: Loop) -> dict[str, object]:
    try:
        litres = words.amount(1000 * bridge.standing_system(loop).total_volume_m3, "L", 3)
    except GardenError:
        litres = ""
    return {"key": loop.pk, "name": loop.name, "about": about(loop, litres)}


def about(loop: Loop, litres: str) -> str:
    """Say how large a loop is, whether it is an example, and what one may do there if that is not all."""
    role, invented = tr(YOU_ARE.get(loop.role, "")), tr("invented") if loop.invented else ""
    return " · ".join(filter(None, (litres, invented, role)))
