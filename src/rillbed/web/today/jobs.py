"""The jobs of the day: what is to do, as buttons that write the log, and what was done, with its way back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import NAMESPACE_URL, UUID, uuid5

from django.urls import reverse

from rillbed import words
from rillbed.garden.chains import effective
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Urgency
from rillbed.plan.answers import Today
from rillbed.tongue import later, tr
from rillbed.web import clock
from rillbed.web.log import form
from rillbed.web.log.kinds import kind_of
from rillbed.web.setup.fields import Bound, Field
from rillbed.web.today.why import Why, why
from rillbed.words.happened import happened

# Entries that are somebody's work; the rest of a day is in the log.
WORK = frozenset(
    {"reading", "temperature", "feeding", "dosed", "planted", "picked", "removed", "cleaned", "water_changed"}
    | {"topped_up", "fish_in", "fish_out", "fish_weighed"}
)

SAFETY = tuple(QUANTITIES)
DAY = timedelta(days=1)
# Jobs that are done on another page: code of the advice -> address, part of the page, words on the button.
DOORS = {"cycle.no_source": ("setup", "#start", later("Choose it"))}
# What is likely to have been done otherwise than advised.
OTHERWISE = frozenset({"amount", "count", "volume", "total", "bed", "feed"})


@dataclass(frozen=True)
class Button:
    """What "done" writes: the key of the entry, its kind and payload.

    `fields` can be changed before it is written; `asks` when one of them has no advised answer.
    """

    uuid: UUID
    kind: str
    payload: str
    fields: tuple[Bound, ...] = ()
    asks: bool = False


@dataclass(frozen=True)
class Job:
    """One thing to do: the amount stands apart from its sentence, cautions stand on it, reasons open."""

    title: str
    when: str = ""
    amount: str = ""
    lead: str = ""
    reasons: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    expect: str = ""
    why: Why = field(default_factory=lambda: Why((), ()))
    button: Button | None = None
    test: bool = False
    door: tuple[str, str] | None = None
    main: bool = False
    alarm: bool = False


@dataclass(frozen=True)
class Done:
    """Work of today that is in the log: when, by whom, what, and the entries to take back."""

    when: str
    author: str
    what: str
    entries: tuple[UUID, ...]


def to_do(answer: Today, state: LoopState, mark: str, known: frozenset[UUID]) -> list[Job]:
    """Return the jobs, most urgent first; one that is in the log already is left out.

    Parameters
    ----------
    answer : Today
    state : LoopState
        Whose beds can be planted and whose fish are fed.
    mark : str
        What the answer was made from: the key of a "done" follows from it, so pressing twice writes once.
    known : frozenset of UUID
        Keys in the log.
    """
    jobs: list[Job] = []
    for place, advice in enumerate(answer.advice):
        button = _button(advice, state, place, uuid5(NAMESPACE_URL, f"rillbed {mark} {place}"))
        if button is None or button.uuid not in known:
            jobs.append(_job(advice, button))
    first = next((n for n, job in enumerate(jobs) if job.button or job.test or job.door), None)
    return [Job(**{**job.__dict__, "main": n == first}) for n, job in enumerate(jobs)]


def _job(advice: Advice, button: Button | None) -> Job:
    said = words.sentence(advice)
    return Job(
        title=said.title,
        when=tr("Now") if advice.urgency <= Urgency.TOXIC_NITROGEN else tr("Today"),
        amount=said.amount,
        lead=said.reasons[0] if said.reasons else "",
        reasons=said.reasons[1:],
        cautions=said.cautions,
        expect=said.expect,
        why=why(advice),
        button=button,
        test=advice.kind == "reading",
        door=_door(advice.code),
        alarm=advice.kind == "warn" and advice.urgency <= Urgency.TOXIC_NITROGEN,
    )


def _door(code: str) -> tuple[str, str] | None:
    if code not in DOORS:
        return None
    address, part, said = DOORS[code]
    return reverse(address) + part, tr(said)


def _button(advice: Advice, state: LoopState, place: int, key: UUID) -> Button | None:
    if advice.code == "plant.batch" and state.system.beds:
        # Which bed is the gardener's to say: nothing is chosen for them, and with one bed nothing is asked.
        beds = tuple((bed.name, bed.name) for bed in state.system.beds)
        told = {"crop": advice.params["crop"], "stage": "seedling", "count": int(str(advice.params["count"]))}
        told |= {"bed": beds[0][0]} if len(beds) == 1 else {}
        fields = _fields("planted", told, state, place)
        if len(beds) > 1:
            one = Field("bed", tr("Bed"), "picks", lambda: beds)
            asked = replace(form.bound((one,), {}, {})[0], place=f"{place}-")
            fields = (asked, *(other for other in fields if other.name != "bed"))
        return Button(key, "planted", json.dumps(told), fields, asks=len(beds) > 1)
    if advice.entry is None or advice.kind == "reading":
        return None
    kind, payload = str(advice.entry["kind"]), advice.entry["payload"]
    assert isinstance(payload, dict)
    return Button(key, kind, json.dumps(payload), _fields(kind, payload, state, place))


def _fields(kind: str, payload: dict[str, Any], state: LoopState, place: int) -> tuple[Bound, ...]:
    found = kind_of(kind)
    if found is None:
        return ()
    fields = [one for one in found.fields(state) if one.name in OTHERWISE]
    shown = form.bound(fields, form.filled(fields, payload, state.system), {})
    return tuple(replace(one, place=f"{place}-") for one in shown)


def done(system: System, log: Sequence[LogEntry], on: date) -> list[Done]:
    """Return the work of a day; what one person logged in one moment is one line."""
    groups: dict[tuple[object, str], list[LogEntry]] = {}
    noon = datetime.combine(on, time(12), UTC)
    for entry in effective(log):
        # Years of entries need not be asked for their day: no place is more than a day away from noon in Greenwich.
        if entry.kind in WORK and abs(entry.at - noon) < 2 * DAY and system.day_of(entry.at) == on:
            groups.setdefault((entry.at, entry.author), []).append(entry)
    for entries in groups.values():
        entries.sort(key=_rank)
    return [
        Done(
            when=words.clock(clock.local(system, entries[0].at)),
            author=entries[0].author,
            what="; ".join(happened(entry) for entry in entries),
            entries=tuple(entry.uuid for entry in entries),
        )
        for entries in groups.values()
    ]


def _rank(entry: LogEntry) -> int:
    """Poisons first, as everywhere; what is no reading keeps its place at the end."""
    quantity = getattr(entry.payload, "quantity", None)
    return SAFETY.index(quantity) if quantity in SAFETY else len(SAFETY)
