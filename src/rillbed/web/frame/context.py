"""What every template may count on."""

from __future__ import annotations

from django.http import HttpRequest

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.web import bridge
from rillbed.web.frame.loops import current
from rillbed.web.frame.pages import doors
from rillbed.web.frame.roles import may
from rillbed.web.log.models import Loop, Role

FORMS = {"water", "log-add", "correct"}  # pages that are mostly a form for the log
SHORT_OF: dict[str, str] = {Role.HELPER: "a helper or an owner", Role.OWNER: "an owner"}


def frame(request: HttpRequest) -> dict[str, object]:
    """Return the list of pages and the loop line; nothing of either to whoever is not signed in."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"doors": ()}
    loop = current(request)
    if loop is None:
        return {"doors": doors(request.path), "loop_line": None}
    match = request.resolver_match
    least = getattr(match.func, "least_role", "") if match else ""
    if not least and match and match.url_name in FORMS:
        least = Role.HELPER
    short_of = "" if not least or may(loop, least) else SHORT_OF.get(least, "")
    rights = {"role": loop.role, "may_log": may(loop, Role.HELPER), "may_own": may(loop, Role.OWNER)}
    rights |= {"short_of": short_of}
    return {"doors": doors(request.path), "loop_line": _line(loop), **rights}


def _line(loop: Loop) -> dict[str, object]:
    try:
        litres = words.amount(1000 * bridge.standing_system(loop).total_volume_m3, "L", 3)
    except GardenError:
        litres = ""
    role = "" if loop.role == Role.OWNER else f"you are a {loop.role}"
    about = " · ".join(filter(None, (litres, "invented" if loop.invented else "", role)))
    return {"key": loop.pk, "name": loop.name, "about": about}
