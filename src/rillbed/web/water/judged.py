"""The verdict on the water as the page shows it: what stands where, what first, when to read again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import words
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Urgency
from rillbed.plan.ahead import Forecast
from rillbed.plan.answers import Today
from rillbed.plan.verdict import Band, budget, judge, stubborn
from rillbed.tongue import later, tr
from rillbed.words import verdict as said

# What the bench can do about a band that is out of place, by the side on which it is.
DOSES = {
    "nh3_n": "dilute", "tan": "dilute", "no2_n": "protect_nitrite", "chlorine": "dechlorinate",
    "chloramine": "dechlorinate", "alkalinity": "raise_alkalinity", "no3_n": "dilute",
}  # fmt: skip
OUT = ("watch", "act", "danger")
GRADES = (later("published"), later("derived"), later("practice"), later("memory"))  # as limits carry them
NOBODY = later("no fish in it that it could harm")


@dataclass(frozen=True)
class Line:
    """One band: name, level, what it reads, its line, chance and reasons, how old it is, and a dose that helps."""

    name: str
    level: str
    out: bool
    reading: str
    limit: str
    chance: str
    reasons: tuple[str, ...]
    age: str
    grade: str
    goal: str


@dataclass(frozen=True)
class Judged:
    """Everything the page says of the water."""

    headline: str
    lines: tuple[Line, ...]
    contradictions: tuple[str, ...]
    questions: tuple[str, ...]
    missing: str
    first: tuple[tuple[str, str], ...]
    again: str
    budget: tuple[str, ...]
    stubborn: tuple[str, ...]


def judged(first: System, log: Sequence[LogEntry], forecast: Forecast | None, told: Today | None, on: date) -> Judged:
    """Judge the water of a day; `first` is the loop before any change, `told` what the forecast advises."""
    found = judge(first, log, forecast, on=on)
    text = said.verdict(found)
    shown = [item for item in found.bands if item.applies or item.basis != "model"]
    lines = tuple(_line(item, said.band(item)) for item in shown)
    return Judged(
        headline=text.headline, lines=lines, contradictions=text.contradictions, questions=text.questions,
        missing=text.missing, first=_first(told), again=_again(told),
        budget=() if forecast is None else said.reasons(budget(first, log, forecast, on=on).reasons),
        stubborn=_stubborn(first, log, forecast, on),
    )  # fmt: skip


def _line(item: Band, told: said.BandWords) -> Line:
    return Line(
        name=told.name, level=told.level if item.applies else tr(NOBODY), out=item.level in OUT,
        reading=told.reading, limit=told.limit,
        chance=told.chance, reasons=told.reasons, age=_age(item), grade=tr(item.grade),
        goal=_goal(item),
    )  # fmt: skip


def _age(item: Band) -> str:
    days = item.age_days
    if days is None or item.basis == "model":
        return tr("from the forecast")
    if days == 0:
        return tr("read today")
    if days == 1:
        return tr("read yesterday")
    return words.say("read {days} days ago", days=days)


def _goal(item: Band) -> str:
    if not item.applies or item.level not in (OUT if item.code == "alkalinity" else OUT[1:]):
        return ""
    if item.code == "ph":
        low, high = item.limits.get(item.level, (None, None))
        return "raise_ph" if low is not None and item.low < low else "lower_ph" if high is not None else ""
    return DOSES.get(item.code, "")


def _first(told: Today | None) -> tuple[tuple[str, str], ...]:
    """Give what Today says about safety, with its amount."""
    if told is None:
        return ()
    safety = [item for item in told.advice if item.urgency <= Urgency.PH_RATE]
    return tuple((text.title, text.amount) for text in (words.sentence(item) for item in safety))


def _again(told: Today | None) -> str:
    if told is None or not told.readings_due:
        return ""
    tests = words.listed(words.quantity(item.quantity) for item in told.readings_due)
    return words.say("Due now: {tests}.", tests=tests)


def _stubborn(first: System, log: Sequence[LogEntry], forecast: Forecast | None, on: date) -> tuple[str, ...]:
    try:
        found = stubborn(first, log, forecast, on=on)
    except ValueError:  # the high stretch began before what was kept of the forecast
        found = stubborn(first, log, on=on)
    return () if found is None else said.reasons(found.reasons)
