"""What to add over the next fortnight: gaps in order of shortage, closed from the shelf; or that nothing is needed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan import doses
from rillbed.plan.advice import Reason, Values
from rillbed.plan.ahead import alkalinity_marks
from rillbed.plan.buffer import alkalinity_now
from rillbed.plan.doses.schedule import ALKALINITY
from rillbed.plan.elements.ceilings import CEILINGS
from rillbed.plan.elements.short import Shortage, course, shortages
from rillbed.plan.look import until
from rillbed.plan.members import quantile
from rillbed.plan.shelf import BASES

DAYS = int(facts.value("dosing.plan_days"))
# The cautious ends: of what is there, for the need; and of what is there, for the room above it.
NEED_AT, ROOM_AT = 0.2, 0.8
# Under this pH a base that brings potassium or calcium is as welcome as the element.
BASE_WELCOME_PH = facts.value("plants.base_welcome_ph")


@dataclass(frozen=True)
class Gap:
    """One need: an element in mg/L, or alkalinity in meq/L, and why.

    ``room`` is what the ceiling leaves above the cautious end; the need never exceeds it.
    """

    element: str
    need: float
    room: float
    why: Reason


@dataclass(frozen=True)
class Cost:
    """Grams of one supply over the whole plan; ``money`` in the user's own, ``None`` where no price was given."""

    supply: str
    grams: float
    money: float | None


@dataclass(frozen=True)
class Supplements:
    """The plan of doses.

    Attributes
    ----------
    code : str
        nothing_needed, no_plants, read_first (all that may be short has not been read), plan, or refused.
    gaps : tuple of Gap
        What is closed, in the order in which it is short.
    read_first : tuple of str
        Elements that may be short but were not read: a test comes before a dose.
    answer : DosePlan, Refusal or None
        The doses, day by day.
    by_base : tuple of str
        Elements that a base brings here beside raising alkalinity.
    costs : tuple of Cost
        What the plan uses.
    notes : tuple of Reason
        What else is to be said.
    """

    on: date
    code: str
    gaps: tuple[Gap, ...] = ()
    read_first: tuple[str, ...] = ()
    answer: doses.DosePlan | doses.Refusal | None = None
    by_base: tuple[str, ...] = ()
    costs: tuple[Cost, ...] = ()
    notes: tuple[Reason, ...] = ()

    @property
    def total(self) -> float | None:
        """Cost of the whole plan; ``None`` unless every supply has a price."""
        if not self.costs or any(item.money is None for item in self.costs):
            return None
        return sum(item.money for item in self.costs if item.money is not None)


def supplements(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    shelf: Sequence[str] | None = None,
    before_planting: bool = False,
    only: Sequence[str] | None = None,
) -> Supplements:
    """Plan the doses of the next two weeks.

    Parameters
    ----------
    system, entries
        The loop and its log.
    forecast : Forecast
        From ``on`` at least two weeks ahead.
    shelf : sequence of str, optional
        Supplies at hand; default the system's.
    before_planting : bool
        Also where nothing grows yet: for plants that are about to go in.
    only : sequence of str, optional
        Elements to look at; default all.
    """
    state = state_at(system, entries, on)
    growing = any(item.standing for item in state.plantings.values())
    if not growing and not before_planting:
        return Supplements(on, "no_plants", notes=(Reason("supplements.no_plants"),))
    own = tuple(system.shelf if shelf is None else shelf)
    found = [
        item for item in shortages(system, entries, forecast, on, shelf=own) if only is None or item.element in only
    ]
    gaps, unread, notes = [], [], []
    for item in found:
        if item.element == "n":
            if item.is_short:
                notes.append(Reason("supplements.nitrogen", {"low": item.now_mg_l.low, "floor": item.floor_mg_l}))
            continue
        gap = _gap(item, system, entries, forecast, on)
        if gap is not None:
            gaps.append(gap)
        elif item.chance_soon >= NEED_AT and item.read_on is None:
            unread.append(item.element)
    base = _alkalinity(system, entries, forecast, on, gaps) if only is None else None
    if base is not None:
        gaps.insert(0, base)
    if not gaps:
        code = "read_first" if unread else "nothing_needed"
        soon = _next(found)
        return Supplements(on, code, read_first=tuple(unread), notes=(*notes, *soon))
    needs = {gap.element: gap.need for gap in gaps}
    goal = doses.Goal("supplement", needs=needs, room=_room(forecast, on, needs))
    water = doses.Water.of(system, entries, on)
    answer = doses.plan(goal, water, system, shelf=own, forecast=forecast)
    if isinstance(answer, doses.Refusal):
        return Supplements(on, "refused", tuple(gaps), tuple(unread), answer, notes=tuple(notes))
    used = _grams(answer)
    by_base = tuple(
        gap.element
        for gap in gaps
        if gap.element != ALKALINITY
        and any(float(getattr(facts.supplements()[name], f"{gap.element}_pct")) > 0.0 for name in used if name in BASES)
    )
    prices = {item.id: item.price_per_kg for item in system.products}
    prices |= {item.supply: item.per_kg for item in system.prices}
    costs = tuple(
        Cost(name, g, None if prices.get(name) is None else g / 1e3 * (prices[name] or 0.0)) for name, g in used.items()
    )
    return Supplements(on, "plan", tuple(gaps), tuple(unread), answer, by_base, costs, tuple(notes))


def _gap(item: Shortage, system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> Gap | None:
    """Need of an element whose middle is short now or within two weeks; ``None`` without a need, or without room."""
    path = course(system, entries, forecast, on, item.element)
    # Iron is lost faster than it can be stored: only what is missing now is given.
    last = 0 if item.element == "fe" else min(DAYS, len(path) - 1)
    w = forecast.weights
    if min(quantile(path[0], w, 0.5), quantile(path[last], w, 0.5)) >= item.floor_mg_l:
        return None
    room = max(0.0, CEILINGS[item.element] - quantile(path[0], w, ROOM_AT))
    need = min(item.target_mg_l - min(quantile(path[0], w, NEED_AT), quantile(path[last], w, NEED_AT)), room)
    if need <= 1e-6:
        return None
    values: Values = {
        "element": item.element,
        "low": item.now_mg_l.low,
        "high": item.now_mg_l.high,
        "floor": item.floor_mg_l,
    }
    if item.is_short:
        return Gap(item.element, need, room, Reason("gap.read" if item.read_on else "gap.model", values))
    day = None if item.dates[1] is None else item.dates[1].isoformat()
    return Gap(item.element, need, room, Reason("gap.soon", {**values, "on": day}))


def _room(forecast: Forecast, on: date, needs: Mapping[str, float]) -> dict[str, float]:
    """Say what may come along of elements that are not asked for, mg/L; base goes before their ceilings."""
    row = max(0, forecast.index(on) - 1)
    free = set(needs) | ({"k", "ca"} if ALKALINITY in needs else set())
    return {
        name: max(0.0, ceiling - quantile(forecast.columns[f"{name}_mg_l"][row], forecast.weights, ROOM_AT))
        for name, ceiling in CEILINGS.items()
        if name not in free
    }


def _alkalinity(
    system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date, gaps: Sequence[Gap]
) -> Gap | None:
    """Size the base that is due, or welcome for what it brings: only after a reading of alkalinity."""
    now, read_on = alkalinity_now(system, until(system, entries, on), forecast, on)
    floor, target = alkalinity_marks(starting=False)
    if read_on is None or now >= target:
        return None
    ph = quantile(forecast.at("ph", on), forecast.weights, 0.5)
    brought = {"k", "ca"} & {gap.element for gap in gaps}
    if now >= floor and not (brought and ph < BASE_WELCOME_PH):
        return None
    code = "gap.base" if now < floor else "gap.base_welcome"
    values: Values = {"now": now, "floor": floor, "target": target, "ph": ph, "elements": tuple(sorted(brought))}
    return Gap(ALKALINITY, target - now, target - now, Reason(code, values))


def _next(found: Sequence[Shortage]) -> tuple[Reason, ...]:
    """Say which element is the next to run short, if any is within the horizon."""
    coming = [item for item in found if item.dates[1] is not None]
    if not coming:
        return (Reason("supplements.none_coming"),)
    first = min(coming, key=lambda item: item.dates[1] or date.max)
    assert first.dates[1] is not None
    early = first.dates[0] or first.dates[1]
    return (
        Reason(
            "supplements.next",
            {"element": first.element, "early": early.isoformat(), "on": first.dates[1].isoformat()},
        ),
    )


def _grams(answer: doses.DosePlan) -> dict[str, float]:
    out: dict[str, float] = {}
    for step in answer.steps:
        out[step.substance] = out.get(step.substance, 0.0) + step.amount
    assert np.isfinite(list(out.values())).all()
    return out
