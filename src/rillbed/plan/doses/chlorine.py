"""Taking chlorine out of fresh water: free chlorine and chloramine apart, and the ammonia chloramine leaves behind."""

from __future__ import annotations

from rillbed import facts
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.doses import parts
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.water import Water
from rillbed.plan.shelf import Choice, choose

AGENTS = ("sodium_thiosulfate", "sodium_ascorbate", "ascorbic_acid")
# Sources disagree whether ascorbate acts on chloramine; thiosulfate does.
ON_CHLORAMINE = "sodium_thiosulfate"
MOST_MG_L = facts.value("dosing.chlorine_most")
AMMONIA_PER_CHLORAMINE = facts.value("dosing.ammonia_per_chloramine")


def plan(goal: Goal, water: Water, system: System, shelf: tuple[str, ...]) -> DosePlan | Refusal:
    """Size the agent for the worst that was read; for water nobody tested, for the most a tap may hold."""
    litres = water.volume_l if goal.litres is None else goal.litres
    if not 0.0 < litres <= 1e9:
        raise ValueError(f"litres = {litres:g}: must be above 0")
    free, combined, assumed = _content(water, system)
    if free + combined <= 0.0:
        ceiling = facts.water_limits()["chlorine_ceiling"].high
        why = Reason("refuse.no_chlorine", {"ceiling": ceiling})
        return Refusal(goal, "refuse.no_chlorine", (why,), (Reason("instead.chlorine_test"),))
    named = goal.substance
    if named is not None and named not in AGENTS:
        raise ValueError(f"substance = {named!r}: must be one of {', '.join(AGENTS)}")
    if combined > 0.0 and named not in (None, ON_CHLORAMINE):
        why = Reason("refuse.ascorbate", {"supply": named, "chloramine": combined})
        instead = Reason("instead.supply", {"supply": ON_CHLORAMINE})
        return Refusal(goal, "refuse.ascorbate", (why,), (instead,), facts=(f"supplements/{ON_CHLORAMINE}",))
    choice = choose((ON_CHLORAMINE,) if combined > 0.0 else AGENTS if named is None else (named,), shelf)
    assert choice.row.per_g_chlorine is not None
    grams = choice.row.per_g_chlorine * (free + combined) * litres / 1000.0
    ammonia = AMMONIA_PER_CHLORAMINE * combined
    return DosePlan(
        goal,
        (_step(choice, grams, litres, ammonia),),
        reached=0.0,
        expect=_expect(ammonia, litres, water),
        retest_day=0,
        retest_hour=1,
        reasons=tuple(_why(free, combined, assumed, litres, ammonia, water)) + choice.reasons,
        not_to_do=(Reason("not.standing_chloramine"),) if combined > 0.0 else (Reason("not.trust_the_strip"),),
        cautions=choice.row.cautions,
        facts=(f"supplements/{choice.id}", "dosing.ammonia_per_chloramine", "water_limits/chlorine_ceiling"),
    )


def _content(water: Water, system: System) -> tuple[float, float, bool]:
    """Free chlorine and chloramine, mg/L as Cl2, at their worst; and whether they were only assumed."""
    source = system.source_water
    known = {"chlorine": source.free_chlorine_mg_l, "chloramine": source.chloramine_mg_l}
    found: dict[str, float | None] = {}
    for name, told in known.items():
        high = water.high(name)
        found[name] = (MOST_MG_L if high is None else high) if water.knows(name) else told
    free, combined = found["chlorine"], found["chloramine"]
    if free is None and combined is None:
        # Nobody knows which of the two it is, so it is treated as the one that stays and leaves ammonia.
        return 0.0, MOST_MG_L, True
    return free or 0.0, combined or 0.0, False


def _step(choice: Choice, grams: float, litres: float, ammonia: float) -> Step:
    adds = parts.brings(choice.row, grams, litres / 1000.0)
    if ammonia > 0.0:
        adds["tan"] = ammonia
    water = parts.dissolve_l(choice.row, grams, strong=False)
    return Step(0, parts.FIRST_HOUR, choice.id, grams, "g", water, adds_mg_l=adds, notes=(Reason("doses.before_it"),))


def _why(free: float, combined: float, assumed: bool, litres: float, ammonia: float, water: Water) -> list[Reason]:
    values = {"free": free, "chloramine": combined, "litres": litres}
    out = [Reason("doses.chlorine_assumed" if assumed else "doses.chlorine", values)]
    if ammonia > 0.0:
        share = min(1.0, litres / water.volume_l)
        out.append(Reason("doses.chloramine_ammonia", {"tan": ammonia, "loop": ammonia * share}))
    else:
        out.append(Reason("doses.free_chlorine_air"))
    return out


def _expect(ammonia: float, litres: float, water: Water) -> tuple[Reason, ...]:
    gone = Reason("expect.no_chlorine")
    rise = ammonia * min(1.0, litres / water.volume_l)
    return (gone, Reason("expect.tan_rise", {"tan": rise})) if ammonia > 0.0 else (gone,)
