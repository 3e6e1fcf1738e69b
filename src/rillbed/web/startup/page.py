"""The page of a start-up, put together from an answer of the plans and the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rillbed import words
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import CyclingPlan
from rillbed.plan.learned import basis_note
from rillbed.plan.look import until
from rillbed.plan.outlook import Outlook
from rillbed.tongue import tr
from rillbed.web.charts import Figure, figures
from rillbed.web.forecasts.store import Answer
from rillbed.web.startup.checks import Check, checks, verdict
from rillbed.web.startup.ledger import Ledger, ledger
from rillbed.web.startup.stages import Stage, said, stages
from rillbed.web.today.jobs import Job, to_do
from rillbed.web.today.pictures import Picture, pictures
from rillbed.words import learned, startup

SHOWN = ("ammonia", "nitrite", "nitrate")
AFTER_DAYS = 14  # shown beyond the last likely day
LEAST_DAYS = 42


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    day: int
    verdict: tuple[str, ...]
    lede: str
    jobs: list[Job]
    stages: list[Stage]
    ready: Picture | None
    charts: list[Figure]
    checks: list[Check]
    checks_verdict: str
    ledger: Ledger | None
    to_come: str
    sowing: str
    note: str
    fish: str
    carried: str
    standstill: tuple[str, ...]
    stuck: bool
    expected: tuple[str, ...]


def page(system: System, first: System, log: Sequence[LogEntry], answer: Answer, on: date) -> Page | None:
    """Put the page together; None for a loop that is not being started. `first` is the loop before any change."""
    told, ahead = answer.today, answer.outlook
    if told is None or ahead is None or told.cycling is None:
        return None
    plan, start = told.cycling, told.start
    state = state_at(first, log, on)
    known = until(system, log, on)
    found = checks(system, known, plan)
    return Page(
        day=(on - system.started_on).days + 1,
        verdict=startup.verdict(plan),
        lede=said(plan),
        jobs=_jobs(answer, state, log),
        stages=stages(plan),
        ready=next((one for one in pictures(told, state) if one.key == "ready"), None),
        charts=_charts(ahead, plan, state, on),
        checks=found,
        checks_verdict=verdict(found, plan),
        ledger=ledger(system, known, on),
        to_come=words.reason(Reason("cycle.to_come", {"mg_l": plan.still_to_come_mg_l})),
        sowing=_sowing(plan),
        note=words.reason(basis_note(told.known)),
        fish=words.reason(start.fish) if start else "",
        carried=startup.carried(start) if start else "",
        standstill=learned.standstill(start) if start else (),
        stuck=start is not None and start.stalled.state != "moving",
        expected=tuple(learned.expected(one) for one in start.expected) if start else (),
    )


def _jobs(answer: Answer, state: LoopState, log: Sequence[LogEntry]) -> list[Job]:
    """Return the jobs of today that belong to the start-up, with the buttons they have on Today."""
    assert answer.today is not None
    assert answer.today.cycling is not None
    titles = {words.sentence(advice).title for advice in answer.today.cycling.advice}
    every = to_do(answer.today, state, answer.mark, frozenset(entry.uuid for entry in log))
    mine = [job for job in every if job.title in titles or job.test]
    first = next((n for n, job in enumerate(mine) if job.button or job.test or job.door), None)
    return [replace(job, main=n == first) for n, job in enumerate(mine)]


def _charts(ahead: Outlook, plan: CyclingPlan, state: LoopState, on: date) -> list[Figure]:
    done = plan.completion[2] or plan.completion[1] or on
    last = max(done + timedelta(days=AFTER_DAYS), on + timedelta(days=LEAST_DAYS))
    rows = tuple(row for row in ahead.rows if row.on <= last)
    found = figures(replace(ahead, rows=rows), state, on, tr("{title} through the start-up."))
    return sorted((one for one in found if one.key in SHOWN), key=lambda one: SHOWN.index(one.key))


def _sowing(plan: CyclingPlan) -> str:
    sowing = plan.sowing
    if sowing is None or any(advice.code == "sow.tray" for advice in plan.advice):
        return ""  # nothing to say, or said among the jobs
    chance = Reason("sow.chance", {"chance": sowing.chance, "low": sowing.tray_from_days, "high": sowing.tray_to_days})
    return words.say(
        "Sow a tray of leafy seedlings on {day}. {chance}", day=words.day(sowing.on), chance=words.reason(chance)
    )
