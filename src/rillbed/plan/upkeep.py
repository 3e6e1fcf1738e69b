"""Jobs of upkeep: which are due, from when to when, by the table or by how often this loop needed them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from rillbed import facts
from rillbed.facts.records import UpkeepJob
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Cleaned, Upkeep
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.cleaning import LARGE, Closed, closed, moved

OWN_TIMES = 3  # so many gaps of its own say more than the table
AHEAD_DAYS = 42
WEEK_DAYS = 7
MEAN_DAYS = 14  # feed of the last fortnight is that of the coming one
CLEANED = {"screen": "wash_screen", "filter": "drain_solids", "pump": "clean_pump"}


@dataclass(frozen=True)
class Job:
    """One job of a loop.

    Attributes
    ----------
    job : str
        Id in `facts.upkeep()`.
    last : date or None
        Day it was done last, None if the log has none.
    first, latest : date
        Days between which it is due next.
    minutes : float
        How long it takes.
    why : tuple of Reason
    cautions : tuple of str
        Codes.
    """

    job: str
    last: date | None
    first: date
    latest: date
    minutes: float
    why: tuple[Reason, ...]
    cautions: tuple[str, ...]

    @property
    def moved(self) -> bool:
        """Whether days away lie in its time, or have moved it."""
        return self.why[-1].code.startswith("upkeep.away")

    def due(self, on: date) -> bool:
        """Whether a day lies in its time or after it."""
        return self.first <= on


@dataclass(frozen=True)
class Part:
    """One part that wears: how long it has run, and in which days of age it is usually renewed."""

    job: str
    name: str
    since: date | None
    usual_days: tuple[float, float]

    def state(self, on: date) -> str:
        """Say unknown, good, ageing or old."""
        if self.since is None:
            return "unknown"
        age = (on - self.since).days
        return "good" if age < self.usual_days[0] else "ageing" if age <= self.usual_days[1] else "old"


@dataclass(frozen=True)
class Calendar:
    """Upkeep of a loop: all its jobs, soonest first, and its parts."""

    on: date
    jobs: tuple[Job, ...]
    parts: tuple[Part, ...]

    def this_week(self) -> tuple[Job, ...]:
        """Give the jobs whose time begins within seven days; of those never logged only what cannot wait."""
        end = self.on + timedelta(days=WEEK_DAYS - 1)
        return tuple(job for job in self.jobs if job.latest <= end or (job.last is not None and job.first <= end))

    def unknown(self) -> tuple[Job, ...]:
        """Give the jobs the log does not know, and that can wait."""
        return tuple(job for job in self.jobs if job.last is None and job not in self.this_week())


def upkeep(system: System, entries: Sequence[LogEntry], on: date) -> Calendar:
    """Return every job this loop has, with the days in which it is due next.

    Parameters
    ----------
    system : System
        The loop as it stands.
    entries : sequence of LogEntry
    on : date
    """
    state = state_at(system, entries, on)
    done = _done(system, entries, on)
    kinds = {name: row for name, row in facts.upkeep().items() if _has(system, state, row)}
    jobs = [_job(name, row, done.get(name, []), system, state, on) for name, row in kinds.items()]
    shut = closed(entries)
    jobs = [_out_of(shut, job, on) if job.job in LARGE else job for job in jobs]
    parts = tuple(
        Part(name, row.part, max(done[name]) if done.get(name) else None, (row.days_low, row.days_high))
        for name, row in kinds.items()
        if row.part
    )
    known = [job for job in jobs if job.last is not None or not kinds[job.job].part]
    return Calendar(on, tuple(sorted(known, key=lambda job: (job.latest, job.first))), parts)


def _has(system: System, state: LoopState, row: UpkeepJob) -> bool:
    kinds = {bed.kind for bed in system.beds}
    return {
        "any": True,
        "fish": state.fish_count > 0,
        "beds": bool(system.beds),
        "media": "media" in kinds,
        "solids_out": bool(kinds - {"media"}) and state.fish_count > 0,
        "stones": system.aeration in ("stones", "strong"),
        "heater": system.heater_set_c is not None,
        "meter": any(kit.kind == "meter" for kit in system.kits),
        "kits": any(kit.kind != "meter" for kit in system.kits),
    }[row.needs]


def _done(system: System, entries: Sequence[LogEntry], on: date) -> dict[str, list[date]]:
    """Days of each job up to a day, ascending; a bed that was cleaned counts as its job."""
    beds = {bed.name for bed in system.beds}
    found: dict[str, list[date]] = {}
    for entry in entries:
        day, payload = system.day_of(entry.at), entry.payload
        job = None
        if isinstance(payload, Upkeep):
            job = payload.job
        elif isinstance(payload, Cleaned):
            job = "clean_bed" if payload.what in beds else CLEANED.get(payload.what)
        if job is not None and day <= on:
            found.setdefault(job, []).append(day)
    return {job: sorted(set(days)) for job, days in found.items()}


def _job(name: str, row: UpkeepJob, done: list[date], system: System, state: LoopState, on: date) -> Job:
    last = done[-1] if done else None
    if last is None:
        # nobody knows when it was done: once, within its own time, and it is known
        first, latest = on, on + timedelta(days=round(row.days_low))
        why: tuple[Reason, ...] = (Reason("upkeep.never", {"days": row.days_low}),)
    elif (own := _own(row, done, state)) is not None:
        low, high, why = own
        first, latest = last + timedelta(days=round(low)), last + timedelta(days=round(high))
    else:
        first, latest = last + timedelta(days=round(row.days_low)), last + timedelta(days=round(row.days_high))
        why = (Reason("upkeep.usual", {"last": last.isoformat(), "low": row.days_low, "high": row.days_high}),)
    if row.follows == "feed" and last is not None:
        since = sum(grams for day, grams in state.fed_g_by_day.items() if last < day <= on)
        why = (*why, Reason("upkeep.fed", {"grams": since, "last": last.isoformat()}))
    return Job(name, last, first, latest, row.minutes, why, row.cautions)


def _out_of(shut: Sequence[Closed], job: Job, on: date) -> Job:
    first, latest, why = moved(job.first, job.latest, on, shut)
    return replace(job, first=first, latest=latest, why=(*job.why, *why))


def _own(row: UpkeepJob, done: list[date], state: LoopState) -> tuple[float, float, tuple[Reason, ...]] | None:
    """Give days to the next by the loop's own gaps: in feed where the job follows feed and any is given."""
    if len(done) <= OWN_TIMES:
        return None
    gaps = [(b - a).days for a, b in pairwise(done)]
    if row.follows == "feed":
        fed = [sum(g for day, g in state.fed_g_by_day.items() if a < day <= b) for a, b in pairwise(done)]
        recent = [g for day, g in state.fed_g_by_day.items() if 0 <= (state.on - day).days < MEAN_DAYS]
        a_day = sum(recent) / MEAN_DAYS
        if min(fed) > 0.0 and a_day > 0.0:
            low, high = _spread(fed)
            return (
                low / a_day,
                high / a_day,
                (Reason("upkeep.own_feed", {"times": len(fed), "low": low, "high": high}),),
            )
    low, high = _spread(gaps)
    return low, high, (Reason("upkeep.own_days", {"times": len(gaps), "low": low, "high": high}),)


def _spread(gaps: Sequence[float]) -> tuple[float, float]:
    """Give the second shortest and the second longest, or the ends of a few: about eight in ten."""
    ordered = sorted(gaps)
    cut = len(ordered) // 10 + (1 if len(ordered) > 4 else 0)
    return float(ordered[cut]), float(ordered[-1 - cut])
