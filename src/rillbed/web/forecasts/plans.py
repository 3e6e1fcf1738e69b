"""Planting plans: worked out beside the pages once the whole forecast is there, and found again."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import Forecast
from rillbed.plan.beds.answers import Lock, PlantingPlan
from rillbed.plan.beds.draws import budget_ahead
from rillbed.plan.beds.plan import Effort, check_lock, plan_beds
from rillbed.plan.beds.year import RoomWeek, room_by_week
from rillbed.plan.crops import bed_kinds, best_in_season, coming_air_c
from rillbed.plan.room import on_the_shelf, rule_for
from rillbed.tongue import later, tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import fits, jobs, store
from rillbed.web.forecasts.codec import freeze, thaw
from rillbed.web.forecasts.models import PlanLine, StoredPlan
from rillbed.web.log.models import Loop

MEMBERS, HORIZON_DAYS, SECONDS = 100, 365, 10.0


@dataclass(frozen=True)
class Planned:
    """What the page shows: the plan, the room by week in one crop, how old, and why there is none."""

    plan: PlantingPlan | None
    room: tuple[RoomWeek, ...]
    crop: str
    made_at: datetime | None
    fresh: bool
    problem: str


def lines(loop: Loop) -> list[PlanLine]:
    """Give the lines somebody wants as they are."""
    return list(PlanLine.objects.filter(loop=loop, dropped=False))


def unfit(system: System, row: PlanLine, on: date) -> str:
    """Say why a line has no place since the set-up changed, or nothing."""
    try:
        check_lock(system, Lock(row.crop, row.bed, row.on, row.count), on)
    except GardenError as error:
        return error.allowed
    return ""


def edits(loop: Loop) -> int:
    """Count what was ever added or dropped: another count asks for another plan."""
    return PlanLine.objects.filter(loop=loop).count() + PlanLine.objects.filter(loop=loop, dropped=True).count()


def is_fresh(loop: Loop, on: date) -> bool:
    """Whether the plan stored is for this day, this log and these lines."""
    return StoredPlan.objects.filter(
        loop=loop, on=on, upto=store.last_row(loop), made_with=store.made_with(), edits=edits(loop)
    ).exists()


def latest(loop: Loop, on: date) -> Planned:
    """Give the last plan, fresh or not."""
    row = StoredPlan.objects.filter(loop=loop).first()
    if row is None:
        return Planned(None, (), "", None, False, "")
    try:
        plan = None if row.plan is None else thaw(PlantingPlan, row.plan)
        room = () if row.room is None else tuple(thaw(RoomWeek, week) for week in row.room)
    except (KeyError, TypeError, ValueError):
        row.delete()  # written by another version: as good as none
        return Planned(None, (), "", None, False, "")
    return Planned(plan, room, row.crop, row.made_at, is_fresh(loop, on), tr(row.problem))


def work_out(loop: Loop, on: date) -> None:
    """Plan the beds of a loop from its last whole fit, and store it; nothing without one."""
    upto, edited = store.last_row(loop), edits(loop)
    known = fits.last(loop, store.made_with())
    if known is None:
        return
    log = bridge.entries(loop, upto=upto)
    system = bridge.first_system(log)
    standing = bridge.standing_system(loop)
    before = latest(loop, on).plan
    values: dict[str, object] = {"on": on, "upto": upto, "made_with": store.made_with(), "edits": edited}
    values |= {"made_at": clock.now(), "plan": None, "room": None, "problem": "", "crop": ""}
    try:
        forecast = budget_ahead(system, log, on=on, posterior=known, horizon_days=HORIZON_DAYS, members=MEMBERS)
        crop = best_in_season(coming_air_c(standing, on), bed_kinds(standing)) if standing.beds else ""
        values["crop"] = crop
        if crop:
            weeks = room_by_week(
                standing, forecast, on, {crop: 1.0}, supplemented=on_the_shelf(standing), band=rule_for("leafy")
            )
            values["room"] = freeze(weeks)
        if standing.household is not None and standing.beds:
            values["plan"] = freeze(_plan(system, log, forecast, on, loop, before))
    except ValueError as error:
        values["problem"] = " ".join(str(error).split())
    except Exception:
        logging.getLogger(__name__).exception("plan failed")
        values["problem"] = later("a fault in the program; the server's log has the details")
    with jobs.storing():
        StoredPlan.objects.update_or_create(loop=loop, defaults=values)


def _plan(
    system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, loop: Loop, before: PlantingPlan | None
) -> PlantingPlan:
    standing = bridge.standing_system(loop)
    kept = [row for row in lines(loop) if row.on >= on and not unfit(standing, row, on)]
    locks = tuple(Lock(row.crop, row.bed, row.on, row.count) for row in kept)
    return plan_beds(system, log, forecast, on, locked=locks, last=before, effort=Effort(seconds=SECONDS))
