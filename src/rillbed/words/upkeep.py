"""Upkeep in words."""

from __future__ import annotations

from datetime import date

from rillbed import facts
from rillbed.plan.upkeep import Calendar, Job, Part
from rillbed.words.numbers import day, number

DAYS_MONTH = 30.44


def name(job: Job) -> str:
    """Full name of a job."""
    return facts.upkeep()[job.job].name


def short(job: Job) -> str:
    """Short name of a job, for a drawing."""
    return facts.upkeep()[job.job].short


def between(job: Job) -> str:
    """Give the days in which a job is due."""
    if job.first == job.latest:
        return day(job.first)
    return f"{day(job.first)} to {day(job.latest)}"


def when(job: Job, on: date) -> str:
    """Say when, from today, and how long it takes."""
    takes = f"{number(job.minutes)}\u00a0minutes"
    if job.latest < on:
        return f"Since {day(job.latest)}, {takes}"
    start = "Today" if job.first <= on else day(job.first)
    return f"{start}, {takes}" if job.latest == on else f"{start} to {day(job.latest)}, {takes}"


def follows(job: Job) -> str:
    """Say what a job goes by."""
    row = facts.upkeep()[job.job]
    if job.why[0].code.startswith("upkeep.own"):
        return "feed, as it was here" if job.why[0].code == "upkeep.own_feed" else "how often it was here"
    return f"{number(row.days_low)} to {number(row.days_high)} days"


def verdict(calendar: Calendar) -> str:
    """Give the week in a sentence."""
    late = [job for job in calendar.jobs if job.latest < calendar.on]
    week = calendar.this_week()
    minutes = sum(job.minutes for job in week)
    if late:
        return f"{_many(len(late))} overdue; all of this week takes about {number(minutes)} minutes."
    if not week:
        after = min((job.first for job in calendar.jobs if job.last), default=None)
        return f"Nothing is due this week; next on {day(after)}." if after else "Nothing is due this week."
    return f"{_many(len(week))} may be done this week, about {number(minutes)} minutes in all."


def _many(count: int) -> str:
    return "One job" if count == 1 else f"{count} jobs"


def part(item: Part, on: date) -> tuple[str, str]:
    """Give name with age, and what is usual."""
    low, high = (number(round(days / DAYS_MONTH)) for days in item.usual_days)
    usual = f"usually renewed after {low} to {high} months"
    if item.since is None:
        return item.name, f"age not in the log; {usual}"
    age = max(0, round((on - item.since).days / DAYS_MONTH))
    return f"{item.name}, {age} month{'' if age == 1 else 's'}", usual
