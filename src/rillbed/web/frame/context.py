"""What every template may count on."""

from __future__ import annotations

from django.http import HttpRequest

from rillbed import words
from rillbed.garden.errors import GardenError
from rillbed.web import bridge
from rillbed.web.frame.loops import current
from rillbed.web.frame.pages import doors


def frame(request: HttpRequest) -> dict[str, object]:
    """Return the list of pages and the loop line; nothing of either to whoever is not signed in."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"doors": ()}
    return {"doors": doors(request.path), "loop_line": _line(request)}


def _line(request: HttpRequest) -> dict[str, object] | None:
    loop = current(request)
    if loop is None:
        return None
    try:
        litres = words.amount(1000 * bridge.standing_system(loop).total_volume_m3, "L", 3)
    except GardenError:
        litres = ""
    about = " · ".join(filter(None, (litres, "invented" if loop.invented else "")))
    return {"key": loop.pk, "name": loop.name, "about": about}
