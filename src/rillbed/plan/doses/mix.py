"""Several needs at once, or one that no single base can meet: which supplies, on which days, solved together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from rillbed import facts
from rillbed.facts.records import Supplement
from rillbed.garden.products import Product
from rillbed.plan.advice import Reason, Value
from rillbed.plan.doses import course, limits, parts, schedule
from rillbed.plan.doses import own as own_rows
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.chemistry import PH_CAP, TOLERATED, harmed
from rillbed.plan.doses.schedule import ALKALINITY, Problem, Schedule
from rillbed.plan.doses.water import Samples, Water
from rillbed.plan.members import quantile
from rillbed.plan.shelf import BASES, BRINGERS, Choice, bringer_of

DAYS = int(facts.value("dosing.plan_days"))
LEAST_G = facts.value("dosing.least_grams")
_TRIES = 6


def plan(
    goal: Goal, water: Water, sample: Samples | None, shelf: Iterable[str], products: Iterable[Product] = ()
) -> DosePlan | Refusal:
    """Lay out the supplies for the needs of the goal, mg/L by element and alkalinity in meq/L.

    Where the needs cannot all be met, those named first are. ``products`` are the user's own, used from the shelf.

    Without samples, where pH or alkalinity is not known, only salts that move neither can be given.
    """
    needs = {name: value for name, value in goal.needs.items() if value > 0.0}
    known = (*BRINGERS, ALKALINITY)
    if not needs or set(needs) - set(known):
        raise ValueError(f"needs = {sorted(goal.needs)}: give a rise above 0 of some of {', '.join(known)}")
    held = limits.alkaline_with_ammonia(goal, water, sample) if ALKALINITY in needs and sample is not None else None
    if held is not None:
        if len(needs) == 1:
            return held
        needs.pop(ALKALINITY)
    own, labelled = tuple(shelf), tuple(products)
    ph = water.high("ph") if sample is None else quantile(sample.ph, sample.weights, 1.0 - TOLERATED)
    for needed, unread in ((ALKALINITY, sample is None), ("fe", ph is None)):
        if needed in needs and unread:
            return limits.missing(goal, "ph" if ph is None else ALKALINITY)
    names = candidates(needs, own, 7.0 if ph is None else ph, labelled)
    found, harm = solved(needs, water, sample, names, labelled, goal.room)
    if found is None:
        tight = Reason("refuse.step", {"cap": PH_CAP, "supply": names[0], "volume_l": water.volume_l})
        return Refusal(goal, "refuse.step", (tight,), (Reason("instead.carbonate_media"),), facts=("dosing.ph_step",))
    if sample is not None:
        refused = limits.toxic_ammonia(goal, water, sample, walked(found, water, sample)[1].ph)
        if refused is not None:
            return refused
    if not found.used:
        why = Reason("refuse.no_supply", {"elements": tuple(needs)})
        return Refusal(goal, "refuse.no_supply", (why,), (Reason("instead.drain_and_refill"),))
    table = own_rows.table(labelled)
    steps = _steps(found, water, sample, table)
    why_more = [
        Reason("doses.short", {"element": k, "short": v}) for k, v in found.short.items() if v > 0.01 * needs[k]
    ]
    buy = [Reason("supply.buy", {"supply": name}) for name in found.used if name not in own]
    # Nothing is mixed where one product does, and nothing kept apart where one dose does.
    mixed = [Reason("doses.mix", {"elements": tuple(needs), "count": len(found.used)})] if len(found.used) > 1 else []
    apart = [Reason("not.all_at_once")] if len(steps) > 1 else []
    return DosePlan(
        goal,
        tuple(steps),
        expect=(Reason("expect.rises", _rises(needs, found)),),
        retest_day=1 if ALKALINITY in needs else max(step.day for step in steps) + 1,
        reasons=(*mixed, *why_more, *buy),
        not_to_do=(*apart, *((held.why[0],) if held is not None else ())),
        cautions=tuple(dict.fromkeys(code for name in found.used for code in table[name].cautions)),
        facts=(
            *(f"supplements/{name}" for name in found.used if name in facts.supplements()),
            "dosing.ph_step",
        ),
        harm=harm,
    )


def candidates(
    needs: Mapping[str, float], shelf: tuple[str, ...], ph: float, products: tuple[Product, ...] = ()
) -> tuple[str, ...]:
    """Supplies that bring what is needed: those on the shelf, else the usual one of each need."""
    out: dict[str, None] = {}
    for name in needs:
        usual = tuple(BASES) if name == ALKALINITY else BRINGERS[name]
        own = [item for item in usual if item in shelf]
        if name == "fe":
            own = [bringer_of("fe", shelf, ph).id]
        if name != ALKALINITY:
            own += own_rows.bringers(products, shelf, name)
        if not own:
            own = [usual[0]] if name == ALKALINITY else [bringer_of(name, shelf, ph).id]
        out |= dict.fromkeys(own)
    return tuple(out)


def solved(
    needs: Mapping[str, float],
    water: Water,
    sample: Samples | None,
    names: tuple[str, ...],
    products: tuple[Product, ...] = (),
    room: Mapping[str, float] = MappingProxyType({}),
) -> tuple[Schedule | None, float]:
    """Solve with the linear caps on pH, then hold every day against the full chemistry; tighten until it holds.

    Where no base is small enough the rest goes without it; ``None`` where nothing is left.
    """
    if sample is None:
        return schedule.solve(problem(needs, water, None, names, products=products, most=room)), 0.0
    slack = 1.0
    for _ in range(_TRIES):
        found = schedule.solve(problem(needs, water, sample, names, slack, products, room))
        harm = walked(found, water, sample)[0]
        if harm <= TOLERATED:
            return found, harm
        slack *= 0.85
    rest = tuple(name for name in names if name not in BASES)
    return (
        (schedule.solve(problem(needs, water, sample, rest, products=products, most=room)), 0.0)
        if rest
        else (None, 0.0)
    )


def problem(
    needs: Mapping[str, float],
    water: Water,
    sample: Samples | None,
    names: tuple[str, ...],
    slack: float = 1.0,
    products: tuple[Product, ...] = (),
    most: Mapping[str, float] = MappingProxyType({}),
) -> Problem:
    """Put the needs and supplies into the shape of the programme."""
    table, metals = own_rows.table(products), own_rows.metals(products, water.volume_m3)
    chosen = []
    for name in names:
        row = table[name]
        per_g = {**parts.brings(row, 1.0, water.volume_m3), **own_rows.organic(row, water.volume_m3)}
        per_g |= metals.get(name, {}) if water.fish else {}
        heaviest = 1e4 * water.volume_m3
        share, hydroxide = 0.0, False
        if name in BASES and sample is not None:
            agent = course.base(Choice(name, row, True))
            per_g[ALKALINITY] = row.alkalinity_eq_per_g / water.volume_m3
            share = per_g[ALKALINITY] / (slack * agent.bound_eq_m3(sample))
            heaviest, hydroxide = agent.most_meq_l / per_g[ALKALINITY], BASES[name] == "hydroxide"
        elif row.kind == "chelate":
            heaviest = parts.PER_DAY["fe"] / per_g["fe"]
        chosen.append(
            schedule.Product(name, per_g, min(LEAST_G, heaviest), heaviest, _family(row.kind), share, hydroxide)
        )
    apart = frozenset(
        (a.id, b.id)
        for a in chosen
        for b in chosen
        if a.id != b.id
        and a.per_g.get("ca", 0.0) > 0.0
        and (b.per_g.get("s", 0.0) > 0.0 or b.per_g.get("p", 0.0) > 0.0)
    )
    irons = [name for name in names if table[name].kind == "chelate"]
    after = frozenset((iron, name) for iron in irons for name in names if name in BASES)
    left = parts.room_mg_l(water)
    room = {name: min(most.get(name, np.inf), left.get(name, np.inf)) for name in {*most, *left}}
    room |= {**own_rows.METALS, own_rows.ORGANIC: own_rows.ORGANIC_WEEK * DAYS / 7.0}
    return Problem(needs, chosen, DAYS, parts.PER_DAY, room, apart, after, in_order=True)


def walked(found: Schedule, water: Water, sample: Samples) -> tuple[float, Samples]:
    """Follow the bases of a schedule: the largest share of weight that breaks the cap on a day, and the water after."""
    harm, now = 0.0, sample
    for d in range(found.problem.days):
        for item, row in zip(found.problem.products, found.grams, strict=True):
            if row[d] > 0.0 and item.id in BASES:
                agent = course.base(Choice(item.id, facts.supplements()[item.id], True))
                eq = float(row[d]) * agent.eq_per_g / water.volume_m3
                made = agent.effect(now, eq)
                harm = max(harm, harmed(now, made))
                now = replace(now, ph=made.settled, alkalinity_meq_l=now.alkalinity_meq_l + eq)
    return harm, now


def _family(kind: str) -> str:
    return "chelate" if kind == "chelate" else "base" if kind == "base" else "salt"


def _steps(found: Schedule, water: Water, sample: Samples | None, table: Mapping[str, Supplement]) -> list[Step]:
    out: list[Step] = []
    now = sample
    for d in range(found.problem.days):
        for item, row in zip(found.problem.products, found.grams, strict=True):
            grams = float(row[d])
            if grams <= 0.0:
                continue
            supply = table[item.id]
            if item.id in BASES and now is not None:
                agent = course.base(Choice(item.id, supply, True))
                eq = grams * agent.eq_per_g / water.volume_m3
                made = agent.effect(now, eq)
                out += course.steps_of(course.Day(d, grams, eq, made, now), water, agent)
                now = replace(now, ph=made.settled, alkalinity_meq_l=now.alkalinity_meq_l + eq)
                continue
            litres = parts.dissolve_l(supply, grams, strong=False)
            adds = parts.brings(supply, grams, water.volume_m3)
            out.append(Step(d, parts.FIRST_HOUR, item.id, grams, "g", litres, adds_mg_l=adds))
    return sorted(out, key=lambda step: (step.day, step.hour))


def _rises(needs: Mapping[str, float], found: Schedule) -> dict[str, Value]:
    reached = {name: need - found.short[name] for name, need in needs.items()}
    order = sorted(reached, key=lambda name: -reached[name])
    assert np.isfinite(list(reached.values())).all()
    return {"elements": tuple(order), "mg_l": tuple(reached[name] for name in order), "cap": PH_CAP}
