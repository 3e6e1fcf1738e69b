"""Ready for fish? Each condition with what is known of it; the words say which, the sign follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rillbed import facts, words
from rillbed.draw.table import short, span
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import CyclingPlan
from rillbed.plan.look import latest, readings
from rillbed.plan.rules import CLEAR_MG_L, Interval
from rillbed.tongue import tr
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


def checks(system: System, log: Sequence[LogEntry], plan: CyclingPlan) -> list[Check]:
    """Return the conditions for the first fish, in the order of safety.

    Parameters
    ----------
    system : System
    log : sequence of LogEntry
        What counts up to the day asked for, oldest first.
    plan : CyclingPlan
    """
    # With fish in the water nothing is dosed, so nothing is proved that way.
    proof = [_proved(plan)] if plan.path == "fishless" else []
    return [
        _chlorine(system),
        _gone(system, log, "tan", tr("Ammonia below {mark} as N")),
        _gone(system, log, "no2", tr("Nitrite below {mark} as N")),
        *proof,
        _load(plan),
        _nitrate(system, log),
        _ph(system, log),
    ]


def _chlorine(system: System) -> Check:
    what = tr("No chlorine in the water that is added")
    known = (system.source_water.free_chlorine_mg_l, system.source_water.chloramine_mg_l)
    top = facts.water_limits()["chlorine_ceiling"].high
    if any(value is None for value in known):
        return Check(NOT_YET, what, tr("not known: test for chlorine, ask the supplier about chloramine"))
    worst = max(value for value in known if value is not None)
    if top is not None and worst <= top:
        return Check(PROVED, what, tr("by the set-up"))
    says = words.say("the set-up says {much}: remove it from every filling", much=words.amount(worst, "mg/L"))
    return Check(NOT_YET, what, says)


def _gone(system: System, log: Sequence[LogEntry], quantity: str, text: str) -> Check:
    what = text.format(mark=words.amount(CLEAR_MG_L, "mg/L"))
    last = latest(system, log, quantity)
    if last is None:
        return Check(NOT_YET, what, tr("not known: not tested yet"))
    seen = words.say("{read} on {day}", read=f"{_interval(last)}{NBSP}mg/L", day=words.day(last.on))
    if last.worst_high <= CLEAR_MG_L:
        return Check(PROVED, what, words.say("met: {seen}", seen=seen))
    if last.worst_low <= CLEAR_MG_L:
        return Check(PARTLY, what, words.say("the test cannot tell: {seen}", seen=seen))
    return Check(NOT_YET, what, words.say("not yet: {seen}", seen=seen))


def _proved(plan: CyclingPlan) -> Check:
    what = tr("A full day’s ammonia gone in 24 hours, two days running")
    if plan.stage == "ready":
        return Check(PROVED, what, tr("met, by your dosing and your tests"))
    if plan.stage == "proving":
        return Check(PARTLY, what, tr("now is the time to prove it"))
    return Check(NOT_YET, what, tr("not yet"))


def _load(plan: CyclingPlan) -> Check:
    what = tr("The bacteria carry the planned feed")
    if plan.planned_load_g_day is None or plan.ready_load_g_day is None:
        return Check(NOT_YET, what, tr("not known: choose feed and grams a day in the set-up"))
    asks = words.amount(plan.planned_load_g_day, "g")
    ready = plan.ready_load_g_day
    take = f"{span(ready.low, ready.high)}{NBSP}g"
    if plan.stage == "ready" and ready.low >= plan.planned_load_g_day:
        carry = tr("it asks for {asks} of ammonia nitrogen a day; they take {take}")
        return Check(PROVED, what, carry.format(asks=asks, take=take))
    carry = tr("it asks for {asks} of ammonia nitrogen a day; they take {take}, not proved")
    state = PARTLY if ready.high >= plan.planned_load_g_day else NOT_YET
    return Check(state, what, carry.format(asks=asks, take=take))


def _nitrate(system: System, log: Sequence[LogEntry]) -> Check:
    what = tr("Nitrate has risen")
    found = readings(system, log, "no3")
    if len(found) < 2:
        return Check(NOT_YET, what, tr("not known: it takes two tests"))
    first, last = found[0], found[-1]
    seen = words.say(
        "{first} on {since}, {last} on {day}",
        first=_interval(first), since=words.day(first.on), last=f"{_interval(last)}{NBSP}mg/L", day=words.day(last.on),
    )  # fmt: skip
    if last.worst_low > first.worst_high:
        return Check(PROVED, what, words.say("met: {seen}", seen=seen))
    return Check(PARTLY if last.worst_high > first.worst_high else NOT_YET, what, seen)


def _ph(system: System, log: Sequence[LogEntry]) -> Check:
    limits = facts.water_limits()["ph_nitrifiers"]
    assert limits.low is not None
    assert limits.high is not None
    what = words.say("pH between {low} and {high}", low=short(limits.low), high=short(limits.high))
    last = latest(system, log, "ph")
    if last is None:
        return Check(NOT_YET, what, tr("not known: not tested yet"))
    seen = words.say("{read} on {day}", read=_interval(last), day=words.day(last.on))
    if last.worst_low >= limits.low and last.worst_high <= limits.high:
        return Check(PROVED, what, words.say("met: {seen}", seen=seen))
    inside = last.worst_high >= limits.low and last.worst_low <= limits.high
    return Check(PARTLY if inside else NOT_YET, what, seen)


def _interval(reading: Interval) -> str:
    if reading.low is None or reading.high is None:
        if reading.low is None and reading.high is None:
            return tr("not known")
        if reading.low is not None:
            return words.say("{least} or more", least=short(reading.low))
        return words.say("{most} or less", most=short(reading.worst_high))
    return span(reading.low, reading.high)


def verdict(found: list[Check], plan: CyclingPlan) -> str:
    """Say how many conditions are met."""
    met = sum(check.state == PROVED for check in found)
    if met == len(found):
        return tr("Yes. All are met.")
    if plan.stage == "ready":
        text = tr("Proved, but look at what is open. {met} of {all} are met.")
    else:
        text = tr("Not yet. {met} of {all} are met.")
    return text.format(met=met, all=len(found))
