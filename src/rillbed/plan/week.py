"""What is to do on which day: feed, readings, upkeep, beds and arrivals, from the answers the other plans gave."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.spells import spell_on, spells
from rillbed.garden.system import System
from rillbed.plan.advice import Values
from rillbed.plan.answers import Today
from rillbed.plan.beds.answers import Line
from rillbed.plan.cycling import is_starting
from rillbed.plan.due import WHY, every_days
from rillbed.plan.fish import Fish, FishDay
from rillbed.plan.look import latest, until
from rillbed.plan.spells import CLEAN_DAYS, hand_over, share_on
from rillbed.plan.upkeep import upkeep

SPELLS = frozenset({"away", "away_none"})  # every one of their days, not any


@dataclass(frozen=True)
class Task:
    """One thing to do within the days from `first` to `last`, both included.

    ``code`` is one of feed, read, upkeep, sow, transplant, pick, sow_tray, ready, arrive, prepare,
    prepare_none, hand_over, leave, away, away_none, back; ``values`` what it is about.
    """

    code: str
    first: date
    last: date
    values: Values

    @property
    def loose(self) -> bool:
        """Whether any of several days will do."""
        return self.last > self.first and self.code not in SPELLS

    def on(self, day: date) -> bool:
        """Whether it stands on a day of its own, or on each of several."""
        return not self.loose and self.first <= day <= self.last


def tasks(
    system: System,
    entries: Sequence[LogEntry],
    on: date,
    days: int,
    *,
    today: Today | None = None,
    fish: Fish | None = None,
    lines: Iterable[Line] = (),
) -> tuple[Task, ...]:
    """List what is to do from `on` for so many days, soonest first.

    Parameters
    ----------
    system, entries
        The loop as first set up, and its log.
    days : int
        Days to look ahead, 1 or more.
    today, fish : Today, Fish or None
        Answers to say feed and the way of a start-up by; without them those are left out.
    lines : iterable of Line
        Lines of a planting plan.
    """
    if days < 1:
        raise ValueError(f"days = {days}: must be 1 or more")
    standing, log = system_at(system, entries, on), until(system, entries, on)
    end = on + timedelta(days=days - 1)
    told = [entry for entry, _ in spells(entries)]  # a long log is looked through once
    found = [
        *_readings(standing, log, told, on, end, starting=is_starting(standing, state_at(system, log, on))),
        *_feed(standing, told, fish),
        *_upkeep(standing, entries, on, end),
        *_beds(line for line in lines if line.firm),
        *_arrivals(standing),
        *_start(today),
        *_away(told),
    ]
    inside = (task for task in found if task.last >= on and task.first <= end)
    return tuple(sorted(inside, key=lambda task: (task.first, task.last, task.code, str(sorted(task.values.items())))))


def _readings(
    system: System, log: Sequence[LogEntry], entries: Sequence[LogEntry], on: date, end: date, *, starting: bool
) -> Iterable[Task]:
    """Each test at its own pace, those of one day together; an overdue one is for today, none for a day away."""
    owned: set[str] = {kit.quantity for kit in system.kits} or set(WHY)
    by_day: dict[date, list[str]] = {}
    for quantity in (name for name in WHY if name in owned):
        every, seen = every_days(quantity, starting=starting), latest(system, log, quantity)
        day = on if seen is None else max(on, seen.on + timedelta(days=every))
        while (day := _at_home(entries, on, day)) <= end:
            by_day.setdefault(day, []).append(quantity)
            day += timedelta(days=every)
    return [Task("read", day, day, {"quantities": tuple(names)}) for day, names in by_day.items()]


def _at_home(entries: Sequence[LogEntry], on: date, day: date) -> date:
    """Give the day itself, or the second day back if it lies in a spell away; today stays today."""
    spell = spell_on(entries, day)
    if spell is None or day == on:
        return day
    return _at_home(entries, on, spell.last + timedelta(days=2))


def _feed(system: System, entries: Sequence[LogEntry], fish: Fish | None) -> Iterable[Task]:
    for row in fish.days if fish is not None else ():
        grams = row.feed_g * _still_to_cut(entries, row)
        if grams <= 0.0:
            continue
        meal = grams / system.meals_per_day
        yield Task("feed", row.on, row.on, {"grams": meal, "meals": system.meals_per_day, "day_g": grams})


def _still_to_cut(entries: Sequence[LogEntry], row: FishDay) -> float:
    """Share of an answer's feed on a day away that was told after the answer was made; else all of it."""
    knew = any(note.code == "shoal.away" for note in row.notes)
    return 1.0 if knew else share_on(entries, row.on)


def _upkeep(system: System, entries: Sequence[LogEntry], on: date, end: date) -> Iterable[Task]:
    for job in upkeep(system, entries, on).jobs:
        if job.latest <= end or (job.last is not None and job.first <= end):
            first = max(on, job.first)
            yield Task("upkeep", first, max(first, job.latest), {"job": job.job, "minutes": job.minutes})


def _beds(lines: Iterable[Line]) -> Iterable[Task]:
    """One task for each line; seed of one crop for several beds is sown in one go."""
    count: dict[tuple[str, date, str, str], float] = {}
    for line in lines:
        key = line.what, line.on, line.crop, "" if line.what == "sow" else line.bed
        count[key] = count.get(key, 0.0) + line.count
    for (what, day, crop, bed), plants in count.items():
        yield Task(what, day, day, {"crop": crop, "count": max(1, round(plants)), "bed": bed})


def _arrivals(system: System) -> Iterable[Task]:
    for item in system.planned_fish:
        if item.on is not None:
            yield Task("arrive", item.on, item.on, {"species": item.species, "count": item.count})


def _away(entries: Sequence[LogEntry]) -> Iterable[Task]:
    """List what comes before days away, the days themselves, and the day of return."""
    for _, spell in spells(entries):
        told: Values = {"name": spell.name, "by": spell.by, "last": spell.last.isoformat()}
        fed = spell.by and spell.feed_share > 0.0
        leaves, back = hand_over(spell), spell.last + timedelta(days=1)
        yield Task(
            "prepare" if fed else "prepare_none",
            spell.first - timedelta(days=CLEAN_DAYS),
            leaves - timedelta(days=1),
            told,
        )
        yield Task("hand_over" if fed else "leave", leaves, leaves, told)
        yield Task("away" if fed else "away_none", spell.first, spell.last, told)
        yield Task("back", back, back, told)


def _start(today: Today | None) -> Iterable[Task]:
    plan = None if today is None else today.cycling
    if plan is None:
        return
    if plan.sowing is not None:
        yield Task("sow_tray", plan.sowing.on, plan.sowing.on, {})
    low, _, high = plan.completion
    if plan.stage != "ready" and low is not None and high is not None:
        yield Task("ready", low, high, {})
