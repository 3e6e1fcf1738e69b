"""An answer of the bench, with the entry that each step writes once it is done."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Self
from uuid import NAMESPACE_URL, UUID, uuid5

from rillbed.garden.chains import effective
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.advice import dosed, figures
from rillbed.plan.doses import Added, DosePlan, Refusal, Since, Step, Water
from rillbed.tongue import tr
from rillbed.web.today.why import Why, inputs_of
from rillbed.words import doses as said
from rillbed.words.numbers import capital, number, say

SHOWN_DAYS = 2
WRITTEN = ("dosed", "water_changed")  # what a step of an answer writes

# What a step shows: its button, that it is in the log, or neither while its day or a reading is still to come.
DO, DONE, WAIT = "do", "done", "wait"


@dataclass(frozen=True)
class Log:
    """What the log knows of an answer: keys that stand, what went in since its reading, how much was taken back."""

    known: frozenset[UUID] = frozenset()
    since: Since | None = None
    taken_back: int = 0

    @classmethod
    def of(cls, entries: Sequence[LogEntry], since: Since | None) -> Self:
        """Take the keys that stand and the number of doses taken back from a log."""
        taken_back = {one.supersedes for one in entries if one.kind == "withdrawn"}
        gone = sum(one.kind in WRITTEN and one.uuid in taken_back for one in entries)
        return cls(frozenset(one.uuid for one in effective(entries)), since, gone)

    @property
    def mark(self) -> str:
        """Part of the keys of the steps: new after a reading or a taking back, so that the same can be done again."""
        read = "" if self.since is None or self.since.read is None else self.since.read.uuid
        return f"{read} {self.taken_back}"

    def unread(self, own: Iterable[UUID]) -> str:
        """Say what else went in unread; the steps of the answer itself are part of its plan."""
        if self.since is None:
            return ""
        mine = frozenset(own)
        others = tuple(entry for entry in self.since.given if entry.uuid not in mine)
        return said.unread(replace(self.since, given=others))


NOTHING = Log()


@dataclass(frozen=True)
class Shown:
    """One step with its button."""

    when: str
    title: str
    amount: str
    lines: tuple[str, ...]
    kind: str
    payload: str
    uuid: UUID
    state: str = WAIT
    main: bool = False


@dataclass(frozen=True)
class Page:
    """Everything the template shows of an answer."""

    headline: str
    refused: bool
    why: tuple[str, ...]
    steps: tuple[Shown, ...]
    rest: str
    after: tuple[str, ...]
    never: tuple[str, ...]
    cautions: tuple[str, ...]
    behind: Why
    unread: str = ""


def page(found: DosePlan | Refusal, loop: int, on: date, asked: str, log: Log = NOTHING) -> Page:
    """Lay out a plan or a refusal, two days of it; only what is for today has buttons."""
    text = said.answer(found)
    behind = Why((), inputs_of(found.facts))
    if isinstance(found, Refusal):
        return Page(f"{text.headline}.", True, text.why, (), "", text.instead, text.not_to_do, text.cautions, behind)
    near = [(item, told) for item, told in zip(found.steps, text.steps, strict=True) if item.day < SHOWN_DAYS]
    steps, unread = _buttons(near, f"{loop} {on} {asked} {log.mark}", log)
    return Page(
        f"{text.headline}.", False, text.why, steps, said.rest(found, SHOWN_DAYS), text.expect, text.not_to_do,
        text.cautions, behind, unread,
    )  # fmt: skip


def added(found: Added | Refusal, loop: int, on: date, asked: str, log: Log = NOTHING) -> Page:
    """Lay out what one dose would do."""
    if isinstance(found, Refusal):
        return page(found, loop, on, asked)
    text = said.added(found)
    step = Step(0, 0, found.substance, found.grams, "g")
    told = said.StepWords(tr("Once"), said.step(step).title, said.step(step).amount, ())
    steps, unread = _buttons([(step, told)] if found.fine else [], f"{loop} {on} {asked} {log.mark}", log)
    return Page(text.headline, not found.fine, text.lines, steps, "", text.care, (), text.cautions, Why((), ()), unread)


def _buttons(near: Sequence[tuple[Step, said.StepWords]], mark: str, log: Log) -> tuple[tuple[Shown, ...], str]:
    """Give each step its key and what it shows, and say what went in unread; nothing has a button then."""
    steps = [_shown(place, item, told, mark) for place, (item, told) in enumerate(near)]
    unread = log.unread(one.uuid for one in steps)
    out: list[Shown] = []
    for one, (item, _) in zip(steps, near, strict=True):
        state = DONE if one.uuid in log.known else WAIT if unread or item.day > 0 else DO
        out.append(replace(one, state=state, main=state == DO and all(done.state != DO for done in out)))
    return tuple(out), unread


def _shown(place: int, item: Step, told: said.StepWords, mark: str) -> Shown:
    if item.substance == "water":
        kind, payload = "water_changed", {"volume": {"value": figures(item.amount), "unit": "L"}}
    else:
        entry = dosed(item.substance, item.amount, item.unit)
        kind, payload = str(entry["kind"]), dict(entry["payload"])  # type: ignore[call-overload]
    key = uuid5(NAMESPACE_URL, f"rillbed dose {mark} {place} {item.substance}")
    return Shown(told.when, told.title, told.amount, told.lines, kind, json.dumps(payload), key)


def known(water: Water) -> tuple[tuple[str, str], ...]:
    """Give the readings an answer stands on."""
    out = []
    for name, (low, high) in water.spans.items():
        row = QUANTITIES.get(name)
        unit = "" if row is None else row.unit
        title = tr(name if row is None else row.name)
        out.append((capital(title), _span(low, high, unit)))
    return tuple(out)


def _span(low: float | None, high: float | None, unit: str) -> str:
    """Both ends of a reading, or the one there is."""
    told = {"least": number(low or 0.0, 3), "most": number(high or 0.0, 3), "unit": tr(unit)}
    if high is None:
        text = say("{least} or more {unit}", **told)
    elif low is None:
        text = say("{most} or less {unit}", **told)
    elif told["least"] == told["most"]:
        text = "{least} {unit}".format(**told)
    else:
        text = say("{least} to {most} {unit}", **told)
    return text.strip()
