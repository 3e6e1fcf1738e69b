"""Lowering pH: a mineral acid by the day, where it can last; where carbonate brings pH back, how futile it is."""

from __future__ import annotations

from collections.abc import Iterable

from rillbed import facts
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.doses import course
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal
from rillbed.plan.doses.base import alkalinity_at
from rillbed.plan.doses.chemistry import PH_CAP, harmed, shown
from rillbed.plan.doses.water import Samples, Water
from rillbed.plan.members import quantile
from rillbed.plan.shelf import Choice, choose

ACIDS = ("hydrochloric_acid", "phosphoric_acid")
LOWEST_PH = facts.water_limits()["ph_nitrifiers"].low or 6.0
FLOOR_MEQ_L = facts.choice("run.base_floor_meq_l")
CAUTIONS = ("acid.into_water", "base.caustic", "base.dilute", "chemicals.never_mix", "chemicals.store")


def plan(goal: Goal, water: Water, sample: Samples, shelf: Iterable[str], system: System) -> DosePlan | Refusal:
    """Lay out acid for a lower pH, or show in numbers why it would not last."""
    target = (facts.water_limits()["ph_loop"].high or 7.0) if goal.target is None else goal.target
    if target < LOWEST_PH:
        return Refusal(goal, "refuse.target", (Reason("refuse.ph_low", {"target": target, "low": LOWEST_PH}),))
    now = quantile(sample.ph, sample.weights, 0.5)
    if now <= target:
        there = Reason("refuse.reached", {"now": now, "target": target})
        return Refusal(goal, "refuse.reached", (there,), (Reason("instead.nothing"),))
    alk = quantile(sample.alkalinity_meq_l, sample.weights, 0.5)
    left = quantile(alkalinity_at(sample, target), sample.weights, 0.5)
    refused = _comes_back(goal, water, system, alk - left, left) or _no_buffer(goal, left)
    if refused is not None:
        return refused
    choice = _chosen(goal, shelf)
    agent = course.acid(choice)
    days = course.daily(alk - left, water, sample, agent)
    if not days:
        stop = Reason("refuse.step", {"cap": PH_CAP, "supply": choice.id, "volume_l": water.volume_l})
        return Refusal(goal, "refuse.step", (stop,), (Reason("instead.soft_water"),))
    given = sum(day.eq_m3 for day in days)
    why = [
        Reason("doses.acid", {"wanted": alk - left, "supply": choice.id, "days": len(days), "cap": PH_CAP}),
        Reason("doses.acid_left", {"left": alk - given}),
    ]
    if given < (alk - left) * 0.99:
        why.append(Reason("doses.acid_more", {"given": given, "wanted": alk - left}))
    first, last = days[0], days[-1]
    ph = shown(first.start, first.made.settled, first.made)
    return DosePlan(
        goal,
        tuple(step for day in days for step in course.steps_of(day, water, agent)),
        reached=quantile(last.made.settled, last.start.weights, 0.5),
        expect=() if ph is None else (Reason("expect.settled", {"ph": ph}),),
        reasons=(*why, *choice.reasons),
        not_to_do=(Reason("not.all_at_once"), Reason("not.organic_acid"), Reason("not.if_it_returns")),
        cautions=CAUTIONS,
        facts=(f"supplements/{choice.id}", "dosing.ph_step", "carbonate.k1"),
        harm=max(harmed(day.start, day.made) for day in days),
    )


def _chosen(goal: Goal, shelf: Iterable[str]) -> Choice:
    if goal.substance is not None and goal.substance not in ACIDS:
        raise ValueError(f"substance = {goal.substance!r}: must be one of {', '.join(ACIDS)}")
    return choose(ACIDS if goal.substance is None else (goal.substance,), shelf)


def _no_buffer(goal: Goal, left: float) -> Refusal | None:
    if left >= FLOOR_MEQ_L:
        return None
    why = Reason("refuse.acid_no_buffer", {"left": left, "floor": FLOOR_MEQ_L})
    return Refusal(goal, "refuse.acid_no_buffer", (why,), (Reason("instead.let_it_fall"),))


def _comes_back(goal: Goal, water: Water, system: System, acid_meq_l: float, left: float) -> Refusal | None:
    """Refuse acid against a store of carbonate: stones in the loop, or the water it is topped up with."""
    grams = acid_meq_l * water.volume_m3 / abs(facts.supplements()["hydrochloric_acid"].alkalinity_eq_per_g)
    values = {"acid_g": grams, "acid_meq_l": acid_meq_l, "left": left}
    media = facts.media()
    stones = [bed for bed in system.beds if bed.medium is not None and media[bed.medium].limestone]
    if stones:
        why = Reason("refuse.acid_limestone", {**values, "bed": stones[0].name})
        instead = (Reason("instead.change_medium"), Reason("instead.live_with_it"))
        return Refusal(goal, "refuse.acid_limestone", (why,), instead)
    source = system.source_water.alkalinity_meq_l
    if source is None or source <= left:
        return None
    why = Reason("refuse.acid_source", {**values, "source": source})
    instead = (Reason("instead.blend", {"share": 1.0 - left / source}), Reason("instead.live_with_it"))
    return Refusal(goal, "refuse.acid_source", (why,), instead)
