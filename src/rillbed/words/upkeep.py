"""Upkeep in words."""

from __future__ import annotations

from datetime import date

from rillbed import facts
from rillbed.plan.upkeep import Calendar, Job, Part
from rillbed.tongue import many, tr
from rillbed.words.numbers import amount, day, number, say

DAYS_MONTH = 30.44


def name(job: Job) -> str:
    """Full name of a job."""
    return tr(facts.upkeep()[job.job].name)


def short(job: Job) -> str:
    """Short name of a job, for a drawing."""
    return tr(facts.upkeep()[job.job].short)


def between(job: Job) -> str:
    """Give the days in which a job is due."""
    if job.first == job.latest:
        return day(job.first)
    return say("{first} to {last}", first=day(job.first), last=day(job.latest))


def when(job: Job, on: date) -> str:
    """Say when, from today, and how long it takes."""
    takes = amount(job.minutes, "minutes")
    if job.latest < on:
        return say("Since {day}, {takes}", day=day(job.latest), takes=takes)
    start = tr("Today") if job.first <= on else day(job.first)
    if job.latest == on:
        return f"{start}, {takes}"
    return say("{first} to {last}, {takes}", first=start, last=day(job.latest), takes=takes)


def follows(job: Job) -> str:
    """Say what a job goes by."""
    row = facts.upkeep()[job.job]
    if job.why[0].code.startswith("upkeep.own"):
        own_feed = job.why[0].code == "upkeep.own_feed"
        return tr("feed, as it was here") if own_feed else tr("how often it was here")
    return say("{low} to {high} days", low=number(row.days_low), high=number(row.days_high))


def verdict(calendar: Calendar) -> str:
    """Give the week in a sentence."""
    late = [job for job in calendar.jobs if job.latest < calendar.on]
    week = calendar.this_week()
    minutes = sum(job.minutes for job in week)
    if late:
        told = {"jobs": _jobs(len(late)), "minutes": number(minutes)}
        return say("{jobs} overdue; all of this week takes about {minutes} minutes.", **told)
    if not week:
        after = min((job.first for job in calendar.jobs if job.last), default=None)
        return (
            say("Nothing is due this week; next on {day}.", day=day(after))
            if after
            else tr("Nothing is due this week.")
        )
    told = {"jobs": _jobs(len(week)), "minutes": number(minutes)}
    return say("{jobs} may be done this week, about {minutes} minutes in all.", **told)


def _jobs(count: int) -> str:
    return many("One job", "{count} jobs", count).format(count=count)


def part(item: Part, on: date) -> tuple[str, str]:
    """Give name with age, and what is usual."""
    low, high = (number(round(days / DAYS_MONTH)) for days in item.usual_days)
    usual = say("usually renewed after {low} to {high} months", low=low, high=high)
    if item.since is None:
        return tr(item.name), say("age not in the log; {usual}", usual=usual)
    age = max(0, round((on - item.since).days / DAYS_MONTH))
    return f"{tr(item.name)}, {many('{age} month', '{age} months', age).format(age=age)}", usual
