"""An answer of the bench, with the entry that each step writes once it is done."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from uuid import NAMESPACE_URL, UUID, uuid5

from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.advice import dosed, figures
from rillbed.plan.doses import Added, DosePlan, Refusal, Step, Water
from rillbed.words import doses as said
from rillbed.words.numbers import number

SHOWN_DAYS = 2


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
    main: bool


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
    sources: tuple[str, ...]


def page(found: DosePlan | Refusal, loop: int, on: date, asked: str) -> Page:
    """Lay out a plan or a refusal; only what is for today and tomorrow has buttons."""
    text = said.answer(found)
    if isinstance(found, Refusal):
        return Page(
            f"{text.headline}.", True, text.why, (), "", text.instead, text.not_to_do, text.cautions, found.sources
        )
    near = [(item, told) for item, told in zip(found.steps, text.steps, strict=True) if item.day < SHOWN_DAYS]
    steps = tuple(_shown(n, item, told, f"{loop} {on} {asked}") for n, (item, told) in enumerate(near))
    return Page(
        f"{text.headline}.", False, text.why, steps, said.rest(found, SHOWN_DAYS), text.expect, text.not_to_do,
        text.cautions, found.sources,
    )  # fmt: skip


def added(found: Added | Refusal, loop: int, on: date, asked: str) -> Page:
    """Lay out what one dose would do."""
    if isinstance(found, Refusal):
        return page(found, loop, on, asked)
    text = said.added(found)
    step = Step(0, 0, found.substance, found.grams, "g")
    told = said.StepWords("Once", said.step(step).title, said.step(step).amount, ())
    steps = (_shown(0, step, told, f"{loop} {on} {asked}"),) if found.fine else ()
    return Page(text.headline, not found.fine, text.lines, steps, "", text.care, (), text.cautions, ())


def _shown(place: int, item: Step, told: said.StepWords, mark: str) -> Shown:
    if item.substance == "water":
        kind, payload = "water_changed", {"volume": {"value": figures(item.amount), "unit": "L"}}
    else:
        entry = dosed(item.substance, item.amount, item.unit)
        kind, payload = str(entry["kind"]), dict(entry["payload"])  # type: ignore[call-overload]
    key = uuid5(NAMESPACE_URL, f"rillbed dose {mark} {place}")
    return Shown(told.when, told.title, told.amount, told.lines, kind, json.dumps(payload), key, place == 0)


def known(water: Water) -> tuple[tuple[str, str], ...]:
    """Give the readings an answer stands on."""
    out = []
    for name, (low, high) in water.spans.items():
        row = QUANTITIES.get(name)
        unit = "" if row is None else row.unit
        ends = [number(end, 3) for end in (low, high) if end is not None]
        text = ends[0] if len(set(ends)) == 1 and None not in (low, high) else " to ".join(ends)
        text += " or more" if high is None else " or less" if low is None else ""
        title = name if row is None else row.name
        out.append((title if title == "pH" else title.capitalize(), f"{text} {unit}".strip()))
    return tuple(out)
