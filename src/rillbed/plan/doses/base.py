"""Raising pH or alkalinity: one base, day by day, each day within 0.2 of pH and the caps of what it brings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band
from rillbed.plan.doses import course, limits, mix, parts
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal
from rillbed.plan.doses.chemistry import PH_CAP, harmed, shown
from rillbed.plan.doses.course import DAYS, Day, daily, steps_of, used_up
from rillbed.plan.doses.water import Floats, Samples, Water
from rillbed.plan.members import band, quantile
from rillbed.plan.shelf import BASES, Choice, choose
from rillbed.science import carbonate

# pH above which nitrifiers and many fish are out of their range in print.
HIGHEST_PH = facts.water_limits()["ph_nitrifiers"].high or 8.5


def plan(goal: Goal, water: Water, sample: Samples, shelf: Iterable[str]) -> DosePlan | Refusal:
    """Lay out the base for a target pH or alkalinity, a day at a time."""
    refused = limits.alkaline_with_ammonia(goal, water, sample)
    if refused is not None:
        return refused
    if goal.kind == "raise_ph" and water.knows("ph") and water.high("ph") is None:
        return Refusal(goal, "refuse.open_ph", (Reason("refuse.open_ph", {"low": water.low("ph")}),), ask="ph")
    wanted = wanted_meq_l(goal, sample)
    if isinstance(wanted, Refusal):
        return wanted
    choice = chosen(goal, shelf)
    agent = course.base(choice)
    days = daily(wanted, water, sample, agent)
    if not days:
        return _nothing_fits(goal, water, sample, choice)
    last = days[-1]
    refused = limits.toxic_ammonia(goal, water, sample, last.made.settled)
    if refused is not None:
        return refused
    given = sum(day.eq_m3 for day in days)
    if given < 0.99 * wanted and goal.substance is None:
        together = _together(goal, water, sample, tuple(shelf), wanted, given)
        if together is not None:
            return together
    steps = [step for day in days for step in steps_of(day, water, agent)]
    first = days[0]
    why = [Reason("doses.base", {"wanted": wanted, "supply": choice.id, "days": len(days), "cap": PH_CAP})]
    if given < wanted * 0.99:
        code = "doses.base_more" if len(days) == DAYS else "doses.base_full"
        why.append(Reason(code, {"given": given, "wanted": wanted, "days": DAYS, "supply": choice.id}))
    if any(step.ph_at_once is None for step in steps):
        why.append(Reason("doses.calcite"))
    return DosePlan(
        goal,
        tuple(steps),
        reached=_reached(goal, sample, last, given),
        expect=_expect(first, sample),
        again_days=again(given, sample),
        reasons=(*why, *choice.reasons),
        not_to_do=(Reason("not.all_at_once"), Reason("not.while_ammonia", {"mark": limits.NO_BASE_FROM_TAN_MG_L})),
        cautions=_cautions(choice),
        facts=(f"supplements/{choice.id}", "dosing.ph_step", "dosing.no_base_from_tan", "carbonate.k1"),
        harm=max(harmed(day.start, day.made) for day in days),
    )


def _together(
    goal: Goal, water: Water, sample: Samples, shelf: tuple[str, ...], wanted: float, alone: float
) -> DosePlan | None:
    """Try all bases of the shelf in one schedule where one alone falls short; ``None`` if that is no better."""
    if sum(name in BASES for name in shelf) < 2:
        return None
    found = mix.plan(replace(goal, needs={"alkalinity": wanted}), water, sample, shelf)
    if isinstance(found, Refusal):
        return None
    table = facts.supplements()
    given = sum(s.amount * table[s.substance].alkalinity_eq_per_g / water.volume_m3 for s in found.steps)
    return found if given > 1.01 * alone else None


def wanted_meq_l(goal: Goal, sample: Samples) -> float | Refusal:
    """Alkalinity to add for the goal, meq/L, in the middle of the samples."""
    now = quantile(sample.alkalinity_meq_l, sample.weights, 0.5)
    if goal.kind == "raise_alkalinity":
        target = facts.choice("run.base_target_meq_l") if goal.target is None else goal.target
        ceiling = facts.water_limits()["alkalinity_ceiling"].high or 5.0
        if target > ceiling:
            return Refusal(goal, "refuse.target", (Reason("refuse.alkalinity", {"target": target, "high": ceiling}),))
        needed, at = target - now, {"now": now, "target": target}
    else:
        ph = facts.value("plan.ph_low") if goal.target is None else goal.target
        if ph > HIGHEST_PH:
            return Refusal(goal, "refuse.target", (Reason("refuse.ph_high", {"target": ph, "high": HIGHEST_PH}),))
        middle = quantile(sample.ph, sample.weights, 0.5)
        needed = quantile(alkalinity_at(sample, ph) - sample.alkalinity_meq_l, sample.weights, 0.5)
        at = {"now": middle, "target": ph}
    if needed <= 0.005:
        return Refusal(goal, "refuse.reached", (Reason("refuse.reached", at),), (Reason("instead.nothing"),))
    return needed


def alkalinity_at(sample: Samples, ph: float) -> Floats:
    """Alkalinity at which the samples would settle at a pH with the CO2 they have, meq/L, (members,)."""
    low, high = np.zeros_like(sample.ph) - 1.0, np.full_like(sample.ph, 30.0)
    pco2 = np.asarray(
        carbonate.speciate(
            sample.temp_c, sample.alkalinity_meq_l, sample.strength_mol_l, ph=sample.ph,
            tan_mg_l=sample.tan_mg_l, po4_p_mg_l=sample.p_mg_l,
        ).pco2_uatm
    )  # fmt: skip
    for _ in range(24):
        middle = 0.5 * (low + high)
        found = carbonate.speciate(
            sample.temp_c, middle, sample.strength_mol_l, pco2_uatm=pco2,
            tan_mg_l=sample.tan_mg_l, po4_p_mg_l=sample.p_mg_l,
        ).ph  # fmt: skip
        above = np.asarray(found) > ph
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return 0.5 * (low + high)


def chosen(goal: Goal, shelf: Iterable[str]) -> Choice:
    """Pick the base: the one named, else the gentlest on the shelf, else the gentlest."""
    if goal.substance is not None:
        if goal.substance not in BASES:
            raise ValueError(f"substance = {goal.substance!r}: must be one of {', '.join(BASES)}")
        return choose((goal.substance,), shelf)
    order = sorted(BASES, key=lambda name: (facts.supplements()[name].na_pct > 0.0, BASES[name] != "bicarbonate"))
    return choose(order, shelf)


def again(given_meq_l: float, sample: Samples) -> Band | None:
    """Days until what was given is used up by the acid the members make; ``None`` without a forecast."""
    days = used_up(given_meq_l, sample)
    return None if days is None else band(days, sample.weights)


def _reached(goal: Goal, sample: Samples, last: Day, given: float) -> float:
    if goal.kind == "raise_alkalinity":
        return quantile(sample.alkalinity_meq_l, sample.weights, 0.5) + given
    return quantile(last.made.settled, last.start.weights, 0.5)


def _expect(first: Day, sample: Samples) -> tuple[Reason, ...]:
    alk = sample.alkalinity_meq_l + first.eq_m3
    low, middle, high = (quantile(alk, sample.weights, q) for q in (0.1, 0.5, 0.9))
    out = [Reason("expect.alkalinity", {"low": low, "middle": middle, "high": high})]
    settled = shown(first.start, first.made.settled, first.made)
    if settled is not None:
        out.append(Reason("expect.settled", {"ph": settled}))
    return tuple(out)


def _cautions(choice: Choice) -> tuple[str, ...]:
    return ("chemicals.store", *choice.row.cautions)


def _nothing_fits(goal: Goal, water: Water, sample: Samples, choice: Choice) -> Refusal:
    """Name the cap that leaves no room, and the slower way."""
    room = parts.room_mg_l(water)
    if choice.row.na_pct > 0.0 and room.get("na", 1.0) <= 0.0:
        ceiling = facts.water_limits()["na_plants"].high
        why = Reason("refuse.sodium", {"ceiling": ceiling, "supply": choice.id})
        return Refusal(
            goal, "refuse.sodium", (why,), (Reason("instead.bicarbonate"),), facts=("water_limits/na_plants",)
        )
    why = Reason("refuse.step", {"cap": PH_CAP, "supply": choice.id, "volume_l": water.volume_l})
    instead = (Reason("instead.carbonate_media"), Reason("instead.bicarbonate"))
    return Refusal(goal, "refuse.step", (why,), instead, facts=("dosing.ph_step",))
