"""The days ahead as lists of jobs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.plan.week import Task, tasks
from rillbed.tongue import tr
from rillbed.web import bridge
from rillbed.web.forecasts import plans, store
from rillbed.web.log.models import Loop
from rillbed.words import day, say, weekday
from rillbed.words.week import task


@dataclass(frozen=True)
class Day:
    """One day, or the days of which any will do."""

    title: str
    jobs: tuple[str, ...]


def coming(loop: Loop, on: date, days: int) -> tuple[Task, ...]:
    """List what is to do in a loop, from the last answers there are."""
    log = bridge.entries(loop)
    answer, plan = store.latest(loop, on), plans.latest(loop, on).plan
    lines = [line for week in plan.weeks for line in week.lines] if plan is not None else []
    return tasks(bridge.first_system(log), log, on, days, today=answer.today, fish=answer.fish, lines=lines)


def days_of(found: Iterable[Task], on: date, count: int = 7) -> tuple[Day, ...]:
    """Sort tasks into days; those that may wait stand last, with the day by which they are due."""
    every = list(found)
    out = []
    for n in range(count):
        when = on + timedelta(days=n)
        jobs = tuple(task(item) for item in every if item.on(when))
        out.append(Day(f"{weekday(when)} {day(when)}", jobs))
    loose = tuple(say("{task}, by {last:day}", task=task(item), last=item.last) for item in every if item.loose)
    return (*out, *((Day(tr("Any of these days"), loose),) if loose else ()))
