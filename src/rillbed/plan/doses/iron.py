"""Iron: a chelate that holds at this pH, at most two mg/L a dose, in halves where the fish are sensitive."""

from __future__ import annotations

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.doses import parts
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.limits import missing
from rillbed.plan.doses.water import Water
from rillbed.plan.shelf import BRINGERS, bringer_of, choose
from rillbed.tongue import tr

MOST_MG_L = facts.value("dosing.fe")


def plan(goal: Goal, water: Water, shelf: tuple[str, ...]) -> DosePlan | Refusal:
    """Size a chelate for iron in the water, mg/L Fe; pH must be known.

    Without a target plants' own range is aimed at: its upper end where iron was read, else its lower end, for the water
    is counted to hold none and may hold some.
    """
    ph = water.high("ph")
    if ph is None:
        return missing(goal, "ph")
    liked = facts.water_limits()["fe_target"]
    target = (liked.high if water.knows("fe") else liked.low) if goal.target is None else goal.target
    assert target is not None
    if not 0.0 < target <= 5.0:
        raise ValueError(tr("target = {target}: iron must be above 0 and at most 5 mg/L").format(target=f"{target:g}"))
    present = water.high("fe") if water.knows("fe") else 0.0
    if present is None or present >= target:
        values = {"now": water.low("fe") if present is None else present, "target": target}
        return Refusal(goal, "refuse.reached", (Reason("refuse.reached", values),), (Reason("instead.nothing"),))
    table = facts.supplements()
    if goal.substance is not None:
        if goal.substance not in BRINGERS["fe"]:
            raise ValueError(f"substance = {goal.substance!r}: must be one of {', '.join(BRINGERS['fe'])}")
        stable = table[goal.substance].stable_to_ph
        if stable is not None and ph > stable:
            better = bringer_of("fe", shelf, ph)
            lost = Reason("refuse.chelate", {"supply": goal.substance, "stable": stable, "ph": ph})
            instead = Reason("instead.supply", {"supply": better.id})
            return Refusal(goal, "refuse.chelate", (lost,), (instead,), facts=(f"supplements/{goal.substance}",))
        choice = choose((goal.substance,), shelf)
    else:
        choice = bringer_of("fe", shelf, ph)
    rise = min(target - present, MOST_MG_L)
    grams = rise * water.volume_m3 / choice.share("fe")
    halves = 2 if _sensitive(water) else 1
    steps = tuple(
        Step(
            day,
            parts.FIRST_HOUR,
            choice.id,
            grams / halves,
            "g",
            parts.dissolve_l(choice.row, grams / halves, strong=False),
            adds_mg_l=parts.brings(choice.row, grams / halves, water.volume_m3),
            notes=(Reason("doses.iron_away_from_base"),),
        )
        for day in range(halves)
    )
    why = [Reason("doses.iron", {"supply": choice.id, "rise": rise, "ph": ph, "stable": choice.row.stable_to_ph})]
    if not water.knows("fe"):
        why.append(Reason("doses.iron_unread"))
        if goal.target is None:
            why.append(Reason("doses.iron_low_end", {"target": target}))
    if halves > 1:
        why.append(Reason("doses.iron_halves"))
    return DosePlan(
        goal,
        steps,
        reached=present + rise,
        expect=(Reason("expect.iron", {"low": water.low("fe") + rise, "high": present + rise}),),
        retest_day=int(facts.value("dosing.iron_retest_days")),
        reasons=(*why, *choice.reasons),
        not_to_do=(Reason("not.tablets"), Reason("not.iron_with_base")),
        cautions=choice.row.cautions,
        facts=(f"supplements/{choice.id}", "dosing.fe", "water_limits/fe_target"),
    )


def _sensitive(water: Water) -> bool:
    return any(facts.species()[kind].climate == "cold" for kind in water.species)
