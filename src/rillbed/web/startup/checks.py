"""Ready for fish? Each condition with what is known of it; the words say which, the sign follows."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts, words
from rillbed.draw.table import short, span
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import CyclingPlan
from rillbed.plan.look import latest, readings
from rillbed.plan.rules import CLEAR_MG_L, Interval
from rillbed.words.numbers import NBSP

PROVED = "met"
PARTLY = "part"
NOT_YET = ""


@dataclass(frozen=True)
class Check:
    """One condition: `state` is met, part or empty (not yet, or not known)."""

    state: str
    what: str
    about: str


def checks(system: System, log: list[LogEntry], plan: CyclingPlan) -> list[Check]:
    """Return the conditions for the first fish, in the order of safety.

    Parameters
    ----------
    system : System
    log : list of LogEntry
        What counts up to the day asked for, oldest first.
    plan : CyclingPlan
    """
    # With fish in the water nothing is dosed, so nothing is proved that way.
    proof = [_proved(plan)] if plan.path == "fishless" else []
    return [
        _chlorine(system),
        _gone(system, log, "tan", "Ammonia"),
        _gone(system, log, "no2", "Nitrite"),
        *proof,
        _load(plan),
        _nitrate(system, log),
        _ph(system, log),
    ]


def _chlorine(system: System) -> Check:
    what = "No chlorine in the water that is added"
    known = (system.source_water.free_chlorine_mg_l, system.source_water.chloramine_mg_l)
    top = facts.water_limits()["chlorine_ceiling"].high
    if any(value is None for value in known):
        return Check(NOT_YET, what, "not known: test for chlorine, ask the supplier about chloramine")
    worst = max(value for value in known if value is not None)
    if top is not None and worst <= top:
        return Check(PROVED, what, "by the set-up")
    return Check(NOT_YET, what, f"the set-up says {words.amount(worst, 'mg/L')}: remove it from every filling")


def _gone(system: System, log: list[LogEntry], quantity: str, name: str) -> Check:
    mark = words.amount(CLEAR_MG_L, "mg/L")
    what = f"{name} below {mark} as N"
    last = latest(system, log, quantity)
    if last is None:
        return Check(NOT_YET, what, "not known: not tested yet")
    seen = f"{_interval(last)}{NBSP}mg/L on {words.day(last.on)}"
    if last.worst_high <= CLEAR_MG_L:
        return Check(PROVED, what, f"met: {seen}")
    if last.worst_low <= CLEAR_MG_L:
        return Check(PARTLY, what, f"the test cannot tell: {seen}")
    return Check(NOT_YET, what, f"not yet: {seen}")


def _proved(plan: CyclingPlan) -> Check:
    what = "A full day’s ammonia gone in 24 hours, two days running"
    if plan.stage == "ready":
        return Check(PROVED, what, "met, by your dosing and your tests")
    if plan.stage == "proving":
        return Check(PARTLY, what, "now is the time to prove it")
    return Check(NOT_YET, what, "not yet")


def _load(plan: CyclingPlan) -> Check:
    what = "The bacteria carry the planned feed"
    if plan.planned_load_g_day is None or plan.ready_load_g_day is None:
        return Check(NOT_YET, what, "not known: choose feed and grams a day in the set-up")
    asks = words.amount(plan.planned_load_g_day, "g")
    ready = plan.ready_load_g_day
    carry = f"it asks for {asks} of ammonia nitrogen a day; they take {span(ready.low, ready.high)}{NBSP}g, not proved"
    proved = plan.stage == "ready"
    if proved and ready.low >= plan.planned_load_g_day:
        return Check(PROVED, what, carry.removesuffix(", not proved"))
    return Check(PARTLY if ready.high >= plan.planned_load_g_day else NOT_YET, what, carry)


def _nitrate(system: System, log: list[LogEntry]) -> Check:
    what = "Nitrate has risen"
    found = readings(system, log, "no3")
    if len(found) < 2:
        return Check(NOT_YET, what, "not known: it takes two tests")
    first, last = found[0], found[-1]
    seen = f"{_interval(first)} on {words.day(first.on)}, {_interval(last)}{NBSP}mg/L on {words.day(last.on)}"
    if last.worst_low > first.worst_high:
        return Check(PROVED, what, f"met: {seen}")
    return Check(PARTLY if last.worst_high > first.worst_high else NOT_YET, what, seen)


def _ph(system: System, log: list[LogEntry]) -> Check:
    limits = facts.water_limits()["ph_nitrifiers"]
    assert limits.low is not None
    assert limits.high is not None
    what = f"pH between {short(limits.low)} and {short(limits.high)}"
    last = latest(system, log, "ph")
    if last is None:
        return Check(NOT_YET, what, "not known: not tested yet")
    seen = f"{_interval(last)} on {words.day(last.on)}"
    if last.worst_low >= limits.low and last.worst_high <= limits.high:
        return Check(PROVED, what, f"met: {seen}")
    inside = last.worst_high >= limits.low and last.worst_low <= limits.high
    return Check(PARTLY if inside else NOT_YET, what, seen)


def _interval(reading: Interval) -> str:
    if reading.low is None or reading.high is None:
        if reading.low is None and reading.high is None:
            return "not known"
        return f"{short(reading.low)} or more" if reading.low is not None else f"{short(reading.worst_high)} or less"
    return span(reading.low, reading.high)


def verdict(found: list[Check], plan: CyclingPlan) -> str:
    """Say how many conditions are met."""
    met = sum(check.state == PROVED for check in found)
    if met == len(found):
        return "Yes. All are met."
    start = "Proved, but look at what is open." if plan.stage == "ready" else "Not yet."
    return f"{start} {met} of {len(found)} are met."
