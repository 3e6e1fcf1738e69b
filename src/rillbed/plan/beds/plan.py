"""The planting plan: what is eaten, what may grow, and what the water carries, brought together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.household import Household
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.beds.answers import Lock, PlantingPlan
from rillbed.plan.beds.behaviour import keeps_weeks
from rillbed.plan.beds.chances import Chances, Held, keep
from rillbed.plan.beds.draws import stores_g
from rillbed.plan.beds.harvest import own_yields
from rillbed.plan.beds.options import Asked, Offer, offer
from rillbed.plan.beds.problem import Eating, Infeasible, Problem
from rillbed.plan.beds.report import report
from rillbed.plan.beds.standing import Standing, standing
from rillbed.plan.look import until
from rillbed.plan.members import share
from rillbed.plan.nutrients import FLOORS
from rillbed.plan.room import on_the_shelf
from rillbed.tongue import tr

WEEK = 7
FIRM_WEEKS = 14
MOST_WEEKS = 52
FIRST_WEEKS = 4  # an element that is not there in these is missing, and added before anything is planted


@dataclass(frozen=True)
class Effort:
    """How long to look for a better plan: relative gap, nodes, and seconds (None: the same answer each time)."""

    gap: float = 0.03
    nodes: int | None = 400
    seconds: float | None = None


def plan_beds(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    confidence: float = 0.8,
    household: Household | None = None,
    supplemented: frozenset[str] | None = None,
    locked: Sequence[Lock] = (),
    last: PlantingPlan | None = None,
    firm_weeks: int = FIRM_WEEKS,
    clear_all: bool = False,
    effort: Effort | None = None,
) -> PlantingPlan:
    """Plan what to sow, set out and pick over the coming year.

    Parameters
    ----------
    forecast : Forecast
        A run under `draws.budget_future`, from ``on`` as far ahead as the plan shall reach; at least 20 weeks.
    confidence : float
        Share of the members in which no budget may break, 0.5 to 0.95.
    household : Household or None
        What is eaten; ``None`` takes the system's own.
    supplemented : frozenset of str or None
        Elements kept in stock by additions; ``None``: those the shelf can bring.
    locked : sequence of Lock
        Lines kept as they are.
    last : PlantingPlan or None
        The last plan, which is changed as little as it can be.
    firm_weeks : int
        Weeks planned in whole plants, 12 to 16; what follows only shows a way on.
    clear_all : bool
        Whether any share of the beds may be cleared in one week.
    effort : Effort or None
        Where the search stops.

    Raises
    ------
    GardenError
        If nothing is known of what is eaten, or a locked line names what there is not.
    ValueError
        If the forecast is too short or a figure is out of its range.
    """
    if not 0.5 <= confidence <= 0.95:
        raise ValueError(f"confidence = {confidence:g}: must lie between 0.5 and 0.95")
    if not 12 <= firm_weeks <= 16:
        raise ValueError(f"firm_weeks = {firm_weeks}: must lie between 12 and 16")
    system = system_at(system, entries, on)
    home = household or system.household
    if home is None:
        raise GardenError(
            "household", "nothing", tr("needs servings_week: servings a week by crop, crop group or class")
        )
    weeks = min(MOST_WEEKS, (forecast.days + 1 - forecast.index(on)) // WEEK)
    if weeks < 20:
        raise ValueError(f"forecast: it reaches {weeks} weeks beyond {on}; a plan needs at least 20")
    for lock in locked:
        check_lock(system, lock, on, weeks)
    added = on_the_shelf(system) if supplemented is None else supplemented
    stores = {e: stores_g(forecast, on, weeks, e) for e in FLOORS if e not in added}
    short = [
        e for e, grams in stores.items() if share(grams[:FIRST_WEEKS].min(axis=0) > 0.0, forecast.weights) < confidence
    ]
    missing = tuple(e for e in short if e != "n")
    elements = tuple(e for e in stores if e not in missing)
    log = until(system, entries, on)
    own = own_yields(system, log, on)
    now = standing(state_at(system, log, on), on, weeks, own)
    asked = Asked(system, home, forecast, on, weeks, firm_weeks, elements, tuple(locked), own)
    choice = offer(asked, now, _before(asked, last))
    chances = Chances({e: stores[e] for e in elements}, choice.draws, choice.kinds, forecast.weights, confidence)
    effort = effort or Effort()
    held, dropped = _held(asked, choice, now, chances, clear_all, effort)
    notes = [Reason("beds.note.unlocked", {"crop": k.crop, "bed": k.bed, "on": k.on.isoformat()}) for k in dropped]
    if "n" in short and not held.solution.plants.any():
        notes.append(Reason("beds.note.no_nitrogen"))
    return report(
        asked, choice, now, chances, held, last=last, kept_by=tuple(sorted(added & set(FLOORS))), missing=missing,
        notes=tuple(notes), confidence=confidence,
    )  # fmt: skip


def check_lock(system: System, lock: Lock, on: date, weeks: int = MOST_WEEKS) -> None:
    """Check that a line could stand at all: its crop, its bed, its day within the plan, and its place in an empty bed.

    Raises
    ------
    GardenError
        With the field after ``locked.``.
    """
    beds = {bed.name: bed for bed in system.beds}
    if lock.crop not in facts.crops():
        raise GardenError("locked.crop", lock.crop, tr("must be a crop of the crop table"))
    if lock.bed not in beds:
        raise GardenError("locked.bed", lock.bed, tr("must be one of the beds: {names}").format(names=", ".join(beds)))
    if lock.count < 1:
        raise GardenError("locked.count", lock.count, tr("must be at least 1"))
    if (lock.on - on).days >= WEEK * weeks:
        raise GardenError("locked.on", lock.on, tr("must lie within the {weeks} weeks of the plan").format(weeks=weeks))
    most = int(beds[lock.bed].area_m2 * facts.crops()[lock.crop].spacing_default_plants_m2 + 1e-9)
    if lock.count > most:
        allowed = tr("at most {most} of it find a place in {bed}").format(most=most, bed=lock.bed)
        raise GardenError("locked.count", lock.count, allowed)


def _held(
    asked: Asked, choice: Offer, now: Standing, chances: Chances, clear_all: bool, effort: Effort
) -> tuple[Held, tuple[Lock, ...]]:
    """Plan that keeps its promise; locked lines are let go, the last first, where they leave no way."""
    problem = problem_of(asked, choice, now, clear_all)
    dropped: list[Lock] = []
    while True:
        try:
            found = keep(problem, chances, gap=effort.gap, nodes=effort.nodes, seconds=effort.seconds)
            return found, tuple(dropped)
        except Infeasible:
            at = [j for j, o in enumerate(problem.options) if o.locked is not None]
            if not at:
                raise
            option = problem.options[at[-1]]
            dropped.append(Lock(option.crop, option.bed, asked.day(option.week), option.locked or 0))
            against = (option.crop, option.bed, option.week) in choice.cautions
            free = replace(option, locked=None, picks=() if against else option.picks)
            problem = replace(problem, options=(*problem.options[: at[-1]], free, *problem.options[at[-1] + 1 :]))


def problem_of(asked: Asked, choice: Offer, now: Standing, clear_all: bool) -> Problem:
    """Put beds, wishes and what grows into the programme."""
    system, home, weeks = asked.system, asked.home, asked.weeks
    area = {bed.name: np.maximum(bed.area_m2 - now.area_m2[bed.name], 0.0) for bed in system.beds}
    allowed = system.bed_area_m2 * (1.0 if clear_all else facts.value("plants.pick_most"))
    trays = None
    if system.seed_tray_places is not None:
        trays = np.maximum(system.seed_tray_places - now.tray_places, 0.0)
    return Problem(
        weeks=weeks, options=choice.options, area_m2=area, wishes=wishes_of(home, now, asked),
        clear_m2=np.maximum(np.full(weeks, allowed) - now.ends_m2, 0.0), tray_places=trays, seedlings=now.seedlings,
        second_half=facts.value("beds.second_half"), beyond=facts.value("beds.beyond_wish"),
        change_cost=facts.value("beds.change_cost"), waste_cost=facts.value("beds.waste_cost"),
    )  # fmt: skip


def wishes_of(home: Household, now: Standing, asked: Asked) -> dict[str, Eating]:
    """Wishes with what comes from plants that grow already; a group keeps as long as the crop that keeps least."""
    out = {}
    for wish, wanted in home.servings_week.items():
        crops = home.crops_of(wish)
        keeps = min((home.keeps_weeks.get(c, keeps_weeks(facts.crops()[c])) for c in crops), default=0)
        coming = np.zeros(asked.weeks)
        for batch in now.batches:
            if home.wish_of(batch.crop) == wish:
                for pick in batch.picks:
                    coming[asked.week(pick.on)] += pick.servings
        out[wish] = Eating(wanted, keeps, coming)
    return out


def _before(asked: Asked, last: PlantingPlan | None) -> Mapping[tuple[str, str, int], float]:
    """Give the counts of the last plan that still lie ahead, by crop, bed and week of this one."""
    if last is None:
        return {}
    out: dict[tuple[str, str, int], float] = {}
    for batch in last.batches:
        if batch.firm and batch.source != "standing" and batch.plant_on >= asked.on:
            key = (batch.crop, batch.bed, asked.week(batch.plant_on))
            out[key] = out.get(key, 0.0) + batch.count
    return out
