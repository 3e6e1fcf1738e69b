"""Changing water: how many changes bring a reading down, how big each may be, and what the fresh water brings."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rillbed import facts
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Value
from rillbed.plan.doses import chlorine, mixing, parts
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.chemistry import PH_CAP, shown
from rillbed.plan.doses.limits import missing
from rillbed.plan.doses.water import READ, Samples, Water
from rillbed.plan.members import quantile
from rillbed.tongue import tr

MOST = facts.value("dosing.change_most")
MOST_UNKNOWN = facts.value("dosing.change_most_unknown")
TEMP_STEP_C = facts.value("dosing.change_temp_step")
TEMP_RATE_C_H = facts.value("dosing.change_temp_rate")
A_DAY = int(facts.value("dosing.changes_a_day"))
DAYS = int(facts.value("dosing.plan_days"))
HOURS_APART = 6
# Where the tables say a reading should be brought to.
MARKS = {"tan": "tan_loop", "no2": "no2_loop", "no3": "no3_good", "na": "na_plants", "cl": "cl_plants"}
# Fields of the source water by quantity; nitrite is in no tap water worth the name.
FIELDS = {"no3": "no3_n_mg_l", "na": "na_mg_l", "cl": "cl_mg_l", "k": "k_mg_l", "ca": "ca_mg_l", "mg": "mg_mg_l",
          "p": "p_mg_l", "fe": "fe_mg_l"}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """One change of water: when, its share, and the reading it leaves."""

    day: int
    hour: int
    part: float
    leaves: float
    ph_before: float | None = None
    ph_at_once: float | None = None
    ph_settled: float | None = None


def plan(
    goal: Goal, water: Water, sample: Samples | None, system: System, shelf: tuple[str, ...]
) -> DosePlan | Refusal:
    """Lay out changes until the worst value that was read is down to the target."""
    name = goal.quantity
    if name not in READ or name in ("ph", "alkalinity", "ec", "temperature"):
        known = dict.fromkeys(("tan", "no2", "no3", *FIELDS))
        raise ValueError(f"quantity = {name!r}: cannot be diluted; use one of {', '.join(known)}")
    if not water.knows(name):
        return missing(goal, name)
    target = _target(goal)
    high = water.high(name)
    worst = water.low(name) if high is None else high
    tan_in, chloramine = _ammonia_in(goal, system)
    inflow = tan_in if name == "tan" else _inflow(goal, system)
    values: dict[str, Value] = {"quantity": name, "now": worst, "target": target, "source": inflow}
    if worst <= target:
        there = Reason("refuse.reached", {"now": worst, "target": target})
        return Refusal(goal, "refuse.reached", (there,), (Reason("instead.nothing"),))
    if inflow >= target:
        instead = (Reason("instead.other_water"), Reason("instead.less_feed"))
        return Refusal(goal, "refuse.dilute_source", (Reason("refuse.dilute_source", values),), instead)
    fresh = mixing.fresh(system.source_water, goal.source, tan_in)
    most, binds = _most(water, sample, fresh)
    if goal.each_litres is not None:
        wanted = goal.each_litres / water.volume_l
        if not 0.0 < wanted <= 1.0:
            told = {"litres": f"{goal.each_litres:g}", "most": f"{water.volume_l:g}"}
            raise ValueError(tr("each_litres = {litres}: must be above 0 and at most {most}").format(**told))
        most = min(most, wanted)
    changes = _changes(worst, target, inflow, water, sample, fresh, most)
    if not changes or (goal.each_litres is not None and changes[0].part < 0.99 * goal.each_litres / water.volume_l):
        largest = changes[0].part if changes else 0.0
        too_big = [Reason("refuse.change", {"litres": largest * water.volume_l}), *_bound(binds, largest, water)]
        if not binds:
            too_big.append(Reason("refuse.change_ph", {"cap": PH_CAP}))
        return Refusal(
            goal, "refuse.change", tuple(too_big), (Reason("instead.small_changes"),), facts=("dosing.ph_step",)
        )
    last = changes[-1]
    why = [Reason("doses.changes", {**values, "count": len(changes), "share": changes[0].part, "left": last.leaves})]
    why += _bound(binds, most, water)
    if chloramine:
        why.append(Reason("doses.chloramine_ammonia_in", {"tan": tan_in}))
    treated = _treatment(changes[0].part * water.volume_l, water, system, shelf)
    if name == "tan" and not chloramine and treated is not None and treated.adds_mg_l.get("tan", 0.0) > 0.0:
        why.append(Reason("doses.ammonia_in_unknown", {"tan": treated.adds_mg_l["tan"]}))
    if last.leaves > target:
        why.append(Reason("doses.changes_more", {"left": last.leaves, "target": target, "days": DAYS}))
    return DosePlan(
        goal,
        tuple(_steps(changes, water, fresh, sample, treated)),
        reached=last.leaves,
        expect=tuple(_expect(changes, name)),
        retest_day=changes[0].day,
        retest_hour=changes[0].hour + 2,
        reasons=tuple(why),
        not_to_do=(Reason("not.all_the_water"), Reason("not.untreated"), Reason("not.clean_the_filter")),
        cautions=("water.lift", "electricity", *(("chlorine.test",) if treated is not None else ())),
        facts=("dosing.change_most", "dosing.ph_step", "dosing.change_temp_step", "dosing.change_temp_rate"),
    )


def _bound(binds: list[str], part: float, water: Water) -> list[Reason]:
    return [Reason(code, {"litres": part * water.volume_l, "step": TEMP_STEP_C}) for code in binds]


def left_after(now: float, source: float, part: float, changes: int) -> float:
    """Give what some equal changes leave: the source's own plus the rest, thinned by every change.

    Examples
    --------
    >>> round(left_after(100.0, 0.0, 0.6, 2), 6)
    16.0
    """
    return source + (now - source) * (1.0 - part) ** changes


def _target(goal: Goal) -> float:
    if goal.target is not None:
        if goal.target < 0.0:
            raise ValueError(tr("target = {target}: must not be below 0").format(target=f"{goal.target:g}"))
        return goal.target
    if goal.quantity not in MARKS:
        raise ValueError(
            tr("target: say how far {what} is to come down, mg/L").format(what=tr(QUANTITIES[goal.quantity].name))
        )
    mark = facts.water_limits()[MARKS[goal.quantity]].high
    assert mark is not None
    return mark


def _ammonia_in(goal: Goal, system: System) -> tuple[float, bool]:
    """Ammonia the fresh water brings, its own or what its chloramine leaves once neutralised, mg N/L."""
    left = chlorine.AMMONIA_PER_CHLORAMINE * (system.source_water.chloramine_mg_l or 0.0)
    return goal.source.get("tan", left), "tan" not in goal.source and left > 0.0


def _inflow(goal: Goal, system: System) -> float:
    if goal.quantity in goal.source:
        return goal.source[goal.quantity]
    if goal.quantity not in FIELDS:
        return 0.0
    told = getattr(system.source_water, FIELDS[goal.quantity])
    return float(facts.choice(f"source_water.{FIELDS[goal.quantity]}") if told is None else told)


def _most(water: Water, sample: Samples | None, fresh: mixing.Fresh) -> tuple[float, list[str]]:
    """Largest share before pH is looked at, and what binds it."""
    most, binds = MOST, []
    if sample is None or not fresh.known:
        most = MOST_UNKNOWN
        binds.append("doses.change_unknown")
    if fresh.temp_c is not None:
        temp = water.low("temperature", 20.0) if sample is None else quantile(sample.temp_c, sample.weights, 0.5)
        gap = abs(fresh.temp_c - temp)
        if gap * most > TEMP_STEP_C:
            most = TEMP_STEP_C / gap
            binds.append("doses.change_temp")
    return most, binds


def _changes(
    now: float, target: float, inflow: float, water: Water, sample: Samples | None, fresh: mixing.Fresh, most: float
) -> list[Change]:
    out: list[Change] = []
    for day in range(DAYS):
        start = None if sample is None else sample.ph
        for turn in range(A_DAY):
            if now <= target:
                return out
            hour = parts.FIRST_HOUR + HOURS_APART * turn
            if sample is None or not fresh.known or start is None:
                if turn:
                    break
                now = left_after(now, inflow, most, 1)
                out.append(Change(day, hour, most, now))
                continue
            found = mixing.largest(sample, fresh, most, start)
            if found is None:
                break
            part, made, after = found
            now = left_after(now, inflow, part, 1)
            before = quantile(made.before, sample.weights, 0.5)
            at_once, settled = (shown(sample, values, made) for values in (made.at_once, made.settled))
            out.append(Change(day, hour, part, now, before, at_once, settled))
            sample = after
    return out


def _treatment(litres: float, water: Water, system: System, shelf: tuple[str, ...]) -> Step | None:
    """Give the step that takes chlorine out of one change; ``None`` where the source is known to hold none."""
    clean = Water(water.volume_l, {}, water.species, water.fish, water.planted)
    found = chlorine.plan(Goal("dechlorinate", litres=litres), clean, system, shelf)
    return found.steps[0] if isinstance(found, DosePlan) else None


def _steps(
    changes: list[Change], water: Water, fresh: mixing.Fresh, sample: Samples | None, treated: Step | None
) -> list[Step]:
    out = []
    temp = None if sample is None else quantile(sample.temp_c, sample.weights, 0.5)
    for change in changes:
        if treated is not None:
            amount = treated.amount * change.part / changes[0].part
            out.append(replace(treated, day=change.day, hour=change.hour - 1, amount=amount))
        notes = [Reason("doses.after_change", {"left": change.leaves})]
        if fresh.temp_c is not None and temp is not None:
            hours = change.part * abs(fresh.temp_c - temp) / TEMP_RATE_C_H
            if hours > 0.5:
                notes.append(Reason("doses.pour_slowly", {"hours": hours}))
        out.append(
            Step(
                change.day, change.hour, "water", change.part * water.volume_l, "L", None, change.ph_before,
                change.ph_at_once, change.ph_settled, notes=tuple(notes),
            )
        )  # fmt: skip
    return out


def _expect(changes: list[Change], name: str) -> list[Reason]:
    first = Reason("expect.after_change", {"quantity": name, "left": changes[0].leaves, "share": changes[0].part})
    return [first, Reason("expect.still_produced", {"quantity": name, "left": changes[-1].leaves})]
