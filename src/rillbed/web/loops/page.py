"""One loop in the list: what it asks for today, told by the forecast that is stored."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.draw.table import span
from rillbed.garden.chains import effective
from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import Today
from rillbed.tongue import tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.frame.context import about
from rillbed.web.log.models import LogRow, Loop, Role

LAST = 99  # after every urgency there is


@dataclass(frozen=True)
class Line:
    """A loop with its verdict and the few figures that tell it from the others."""

    key: int
    name: str
    about: str
    verdict: str
    pairs: tuple[tuple[str, str], ...]
    urgency: int
    here: bool
    owned: bool


def lines(loops: list[Loop], here: Loop | None) -> list[Line]:
    """Return the loops, most urgent first: oxygen, poisons, pH, plants."""
    found = [_line(loop, loop == here) for loop in loops]
    return sorted(found, key=lambda line: line.urgency)


def _line(loop: Loop, here: bool) -> Line:
    owned = loop.role == Role.OWNER
    try:
        system = bridge.standing_system(loop)
    except GardenError:
        return Line(loop.pk, loop.name, "", tr("Not set up yet."), (), LAST, here, owned)
    answer = store.latest(loop, clock.today(system))
    told = answer.today
    litres = words.amount(1000 * system.total_volume_m3, "L", 3)
    told_of = about(loop, litres)
    if told is None:
        verdict = answer.problem or tr("The forecast is being worked out.")
        return Line(loop.pk, loop.name, told_of, verdict, _pairs(loop, system, None), LAST, here, owned)
    urgency = min((int(one.urgency) for one in told.advice), default=LAST)
    return Line(
        loop.pk,
        loop.name,
        told_of,
        words.reason(told.verdict),
        _pairs(loop, system, told),
        urgency,
        here,
        owned,
    )


def _pairs(loop: Loop, system: System, told: Today | None) -> tuple[tuple[str, str], ...]:
    out = []
    if told is not None and told.advice:
        said = words.sentence(told.advice[0])
        out.append((tr("Next"), f"{said.title} {said.amount}".strip()))
    if told is not None and (water := told.glance.get("temp_c")) is not None:
        out.append((tr("Water, expected"), f"{span(water.low, water.high, 1)}\u00a0°C"))
    if told is not None and told.rations:
        out.append((tr("Fed today"), _fed(loop, system)))
    for name, kinds in ((tr("Last test"), ("reading",)), (tr("Last entry"), ())):
        rows = LogRow.objects.filter(loop=loop)
        last = (rows.filter(kind__in=kinds) if kinds else rows).order_by("-at").values_list("at", flat=True).first()
        out.append((name, words.day(system.day_of(last)) if last else tr("none yet")))
    return tuple(out)


def _fed(loop: Loop, system: System) -> str:
    """Say who fed on this day and when."""
    day = clock.today(system)
    fed = [one for one in effective(bridge.entries(loop)) if one.kind == "feeding" and system.day_of(one.at) == day]
    return ", ".join(_at(system, one) for one in sorted(fed, key=lambda one: one.at)) or tr("not yet")


def _at(system: System, one: LogEntry) -> str:
    at = words.clock(clock.local(system, one.at))
    return words.say("{at} by {author}", at=at, author=one.author) if one.author else at
