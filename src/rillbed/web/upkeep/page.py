"""The week as jobs, six weeks as bars, parts with their age."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import NAMESPACE_URL, UUID, uuid5

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.upkeep import AHEAD_DAYS, Calendar, Job, Part
from rillbed.tongue import tr
from rillbed.words import upkeep as said
from rillbed.words.happened import happened
from rillbed.words.numbers import say


@dataclass(frozen=True)
class Shown:
    """One job of the week, with the entry its button writes."""

    title: str
    when: str
    lead: str
    why: tuple[str, ...]
    cautions: tuple[str, ...]
    uuid: UUID
    payload: str
    main: bool


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    verdict: str
    jobs: tuple[Shown, ...]
    moved: tuple[Shown, ...]
    unknown: tuple[Shown, ...]
    done: tuple[tuple[str, str], ...]
    picture: SafeString
    rows: tuple[tuple[str, str, str], ...]
    parts: tuple[tuple[str, str, str], ...]


def page(system: System, log: Sequence[LogEntry], calendar: Calendar, mark: str, known: frozenset[UUID]) -> Page:
    """Lay out a calendar; `mark` and the last day of a job make the key of its "done", so twice writes once."""

    def left(jobs: Sequence[Job], first: bool = False) -> tuple[Shown, ...]:
        shown = [_shown(job, calendar.on, mark, first and n == 0) for n, job in enumerate(jobs)]
        return tuple(job for job in shown if job.uuid not in known)

    week, unknown = calendar.this_week(), calendar.unknown()
    return Page(
        verdict=said.verdict(calendar),
        jobs=left(week, first=True),
        moved=left([job for job in calendar.jobs if job.moved and job not in (*week, *unknown)]),
        unknown=left(unknown),
        done=tuple(
            (say("Today by {author}", author=entry.author) if entry.author else tr("Today"), happened(entry))
            for entry in log
            if entry.kind == "upkeep" and system.day_of(entry.at) == calendar.on
        ),
        picture=mark_safe(draw.weeks(_weeks(calendar))),
        rows=tuple((said.name(job), said.between(job), said.follows(job)) for job in calendar.jobs),
        parts=tuple(_part(part, calendar.on) for part in calendar.parts),
    )


def _shown(job: Job, on: date, mark: str, main: bool) -> Shown:
    lead, *rest = (words.reason(item) for item in reversed(job.why))
    return Shown(
        title=said.name(job), when=said.when(job, on), lead=lead, why=tuple(rest),
        cautions=tuple(words.caution(code) for code in job.cautions),
        uuid=uuid5(NAMESPACE_URL, f"rillbed upkeep {mark} {job.job} {job.last}"),
        payload=json.dumps({"job": job.job}), main=main,
    )  # fmt: skip


def _weeks(calendar: Calendar) -> draw.Weeks:
    end = AHEAD_DAYS
    waits = calendar.unknown()
    near = [job for job in calendar.jobs if (job.first - calendar.on).days <= end and job not in waits]
    spans = tuple(draw.Span(said.short(job), job.first, job.latest, said.between(job)) for job in near)
    told = " ".join(f"{span.label}: {span.value}." for span in spans)
    summary = f"{tr('Upkeep over six weeks.')} {told}"
    return draw.Weeks(summary, calendar.on, end, spans)


def _part(part: Part, on: date) -> tuple[str, str, str]:
    mark = {"good": "met", "ageing": "part", "old": "", "unknown": ""}[part.state(on)]
    return mark, *said.part(part, on)
