"""Salt against nitrite: chloride to its mark, from the salts at hand, under the ceilings of plants."""

from __future__ import annotations

from collections.abc import Mapping

from rillbed import facts, units
from rillbed.plan.advice import Reason
from rillbed.plan.chloride import INSURANCE_MG_L, PER_NITRITE, STEP_MG_L, target_mg_l
from rillbed.plan.doses import parts, schedule
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.limits import missing
from rillbed.plan.doses.water import Water
from rillbed.plan.shelf import CHLORIDES, choose

DAYS = int(facts.value("dosing.plan_days"))
LEAST_G = facts.value("dosing.least_grams")
PARTS = int(facts.value("dosing.parts_salt"))


def plan(goal: Goal, water: Water, shelf: tuple[str, ...]) -> DosePlan | Refusal:
    """Lay out chloride for the worst nitrite that was read."""
    if not water.knows("no2"):
        return missing(goal, "no2")
    helped, not_helped = _kinds(water)
    if water.species and not helped:
        why = tuple(Reason("refuse.not_protected", {"species": kind}) for kind in not_helped)
        instead = (Reason("instead.dilute_nitrite"), Reason("instead.less_feed"))
        return Refusal(goal, "refuse.not_protected", why, instead, facts=("dosing.chloride_per_nitrite",))
    high = water.high("no2")
    worst = water.low("no2") if high is None else high
    asked = PER_NITRITE * units.convert_basis(worst, "N", "NO2")
    target = target_mg_l(worst) if goal.target is None else goal.target
    present = water.low("cl")
    if present >= target and high is None:
        # What is there is enough for the kit's last step; nobody knows whether it is for what lies beyond.
        top = Reason("refuse.open_no2", {"low": worst, "now": present})
        return Refusal(goal, "refuse.open_no2", (top,), (Reason("instead.dilute_sample"),), ask="no2")
    if present >= target:
        why = (Reason("refuse.reached", {"now": present, "target": target}),)
        return Refusal(goal, "refuse.reached", why, (Reason("instead.nothing"),))
    names = _salts(goal, water, shelf)
    room = parts.room_mg_l(water)
    found = _laid_out(target - present, asked - present, water, names, room)
    if found is None:
        ceilings = {name: facts.water_limits()[f"{name}_plants"].high for name in ("na", "cl")}
        why = (Reason("refuse.salt_plants", {"na": ceilings["na"], "cl": ceilings["cl"], "target": target}),)
        instead = (Reason("instead.dilute_nitrite"), Reason("instead.less_feed"))
        return Refusal(
            goal, "refuse.salt_plants", why, instead, facts=("water_limits/na_plants", "water_limits/cl_plants")
        )
    given = sum(step.adds_mg_l.get("cl", 0.0) for step in found)
    reached = present + given
    return DosePlan(
        goal,
        tuple(found),
        reached=reached,
        expect=(Reason("expect.chloride", {"cl": present + _on_day(found, 0)}),),
        reasons=_why(target, present, worst, reached, water, not_helped, high is None),
        not_to_do=(Reason("not.salt_with_additives"), Reason("not.more_salt_than_needed")),
        cautions=_cautions(found),
        facts=(
            "dosing.chloride_per_nitrite", "dosing.chloride_insurance", "plan.chloride_step", "water_limits/cl_plants",
            "water_limits/na_plants", *(f"supplements/{name}" for name in dict.fromkeys(s.substance for s in found)),
        ),
    )  # fmt: skip


def _kinds(water: Water) -> tuple[list[str], list[str]]:
    table = facts.species()
    not_helped = [kind for kind in water.species if table[kind].chloride_share <= 0.0]
    return [kind for kind in water.species if kind not in not_helped], not_helped


def _salts(goal: Goal, water: Water, shelf: tuple[str, ...]) -> tuple[str, ...]:
    """Salts to use: the one named, else those on the shelf, else the one to buy; sodium last where plants grow."""
    if goal.substance is not None:
        if goal.substance not in CHLORIDES:
            raise ValueError(f"substance = {goal.substance!r}: must be one of {', '.join(CHLORIDES)}")
        return (goal.substance,)
    order = CHLORIDES if water.planted else CHLORIDES[::-1]
    own = tuple(name for name in order if name in shelf)
    return own or (choose(order, shelf).id,)


def _laid_out(
    missing_mg_l: float, now_mg_l: float, water: Water, names: tuple[str, ...], room: Mapping[str, float]
) -> list[Step] | None:
    """Give the steps of the days; what nitrite asks for now goes in today, beyond the usual step of a day."""
    today = max(min(missing_mg_l, STEP_MG_L), min(now_mg_l, missing_mg_l))
    # Fish that suffocate on nitrite outweigh the caps of one day; the ceilings of plants stand.
    caps = {} if today > STEP_MG_L else {name: parts.PER_DAY[name] for name in ("k", "ca")}
    first = _solved(today, 1, water, names, caps, room)
    steps = _steps(first, 0, water)
    left = missing_mg_l - sum(step.adds_mg_l.get("cl", 0.0) for step in steps)
    if left > 1.0:
        spent = {name: have - sum(step.adds_mg_l.get(name, 0.0) for step in steps) for name, have in room.items()}
        if all(value >= 0.0 for value in spent.values()):
            daily = {"cl": STEP_MG_L, **{name: parts.PER_DAY[name] for name in ("k", "ca")}}
            steps += _steps(_solved(left, DAYS - 1, water, names, daily, spent), 1, water)
    return steps or None


def _solved(
    need: float, days: int, water: Water, names: tuple[str, ...], caps: Mapping[str, float], room: Mapping[str, float]
) -> schedule.Schedule:
    table = facts.supplements()
    products = []
    for name in names:
        per_g = parts.brings(table[name], 1.0, water.volume_m3)
        products.append(schedule.Product(name, per_g, LEAST_G, max(LEAST_G, need / per_g["cl"]), name))
    return schedule.solve(
        schedule.Problem({"cl": need}, products, days, caps, {k: max(0.0, v) for k, v in room.items()})
    )


def _steps(found: schedule.Schedule, first_day: int, water: Water) -> list[Step]:
    out: list[Step] = []
    for d in range(found.problem.days):
        for item, row in zip(found.problem.products, found.grams, strict=True):
            if row[d] <= 0.0:
                continue
            supply, grams = facts.supplements()[item.id], float(row[d])
            count = PARTS if grams >= 2.0 * PARTS else 1
            litres = parts.dissolve_l(supply, grams / count, strong=False) * count
            adds = parts.brings(supply, grams, water.volume_m3)
            out += parts.split(
                Step(first_day + d, parts.FIRST_HOUR, item.id, grams, "g", litres, adds_mg_l=adds), count
            )
    return sorted(out, key=lambda step: (step.day, step.hour))


def _on_day(steps: list[Step], day: int) -> float:
    return sum(step.adds_mg_l.get("cl", 0.0) for step in steps if step.day == day)


def _why(
    target: float, present: float, worst: float, reached: float, water: Water, not_helped: list[str], open_end: bool
) -> tuple[Reason, ...]:
    out = [
        Reason("salt.target", {"target": target, "nitrite": worst, "ratio": PER_NITRITE}),
        Reason("salt.present", {"present": present, "rise": reached - present}),
    ]
    if not water.knows("cl"):
        out.append(Reason("doses.chloride_unread"))
    if open_end:
        out.append(Reason("doses.nitrite_top", {"low": worst}))
    if reached < target - 1.0:
        out.append(Reason("doses.salt_short", {"reached": reached, "target": target}))
        protects = units.convert_basis(reached / PER_NITRITE, "NO2", "N")
        out.append(Reason("doses.salt_covers", {"no2": protects}))
    out += [Reason("salt.not_helped", {"species": kind}) for kind in not_helped]
    if target <= INSURANCE_MG_L:
        out.append(Reason("doses.salt_insurance", {"mark": INSURANCE_MG_L}))
    return tuple(out)


def _cautions(steps: list[Step]) -> tuple[str, ...]:
    table, used = facts.supplements(), dict.fromkeys(step.substance for step in steps)
    own = [code for name in used for code in table[name].cautions]
    hot = ["salt.hot"] if "calcium_chloride" in used else []
    return tuple(dict.fromkeys(["salt.plain", "salt.parts", "salt.plants", *hot, *own]))
