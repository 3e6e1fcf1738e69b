"""What stands behind an amount: its formula, the figures that went in, and where each comes from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from rillbed import facts
from rillbed.plan.advice import Advice
from rillbed.tongue import current, tr
from rillbed.web.sources.figures import GRADES, Entry, entries
from rillbed.words import say
from rillbed.words.formulas import formula

# Parts of a record that a formula uses; None = all of it.
PARTS: dict[str, tuple[str, ...] | None] = {
    "feed.ration": ("tgc", "ctmi", "fcr", "feed", "temp"),
    "room.chance": ("spacing", "time", "composition", "uptake"),
    "dose.nitrogen_for_rise": None,
}
PLAIN = re.compile(r"(?:[\d.,\s\u2212\u2013]|e[+\u2212-]?\d)+")  # figures without words
MOST = 8  # figures of one part that are shown; the page of sources has them all


@dataclass(frozen=True)
class Input:
    """Figures that share a grade and a source."""

    name: str
    figures: tuple[tuple[str, str], ...]
    more: int
    style: str
    grade: str
    works: tuple[str, ...]


@dataclass(frozen=True)
class Why:
    """Everything behind one figure."""

    formula: tuple[str, ...]
    inputs: tuple[Input, ...]


def why(advice: Advice) -> Why:
    """Return formula and inputs of an advice, in the order of the tables."""
    parts = PARTS.get(advice.formula)
    named = tuple(f"{key}:{','.join(parts)}" if parts else key for key in advice.facts)
    return Why(formula(advice.formula), inputs_of(named))


def inputs_of(keys: Sequence[str]) -> tuple[Input, ...]:
    """Return the figures behind keys of the facts.

    A key is that of a constant, of a table, or table and row, as in ``crops/kale``; ``:spacing,uptake`` after it leaves
    only those parts of the row.
    """
    return tuple(dict.fromkeys(_input(one) for key in keys for one in _found(key)))


@cache
def _found(key: str) -> tuple[Entry, ...]:
    name, _, parts = key.partition(":")
    wanted = set(parts.split(",")) if parts else set()
    return tuple(
        one
        for one in entries()
        if name in (f"{one.table}/{one.key}", one.key, one.table) and (not wanted or not one.part or one.part in wanted)
    )


def figure(text: str) -> str:
    """Write a value of the tables the reader's way.

    Examples
    --------
    >>> figure("0.13 to 1"), figure("any")
    ('0.13 to 1', 'any')
    """
    if worded(text):
        return tr(text)
    if current().decimal == ",":
        text = text.replace(", ", "; ").replace(".", ",")
    first, to, last = text.partition(" to ")
    return say("{first} to {last}", first=first, last=last) if to else first


def worded(text: str) -> bool:
    """Whether a value of the tables is words rather than figures or a range of them."""
    return not all(PLAIN.fullmatch(part) for part in text.split(" to "))


def _input(one: Entry) -> Input:
    style, grade, _ = GRADES[one.grade]
    known = facts.sources()
    shown = tuple((tr(pair.name), f"{figure(pair.value)} {tr(pair.unit)}".strip()) for pair in one.figures[:MOST])
    works = tuple(f"{known[key].author}, {known[key].title}" for key in one.sources if key in known)
    name = f"{tr(one.title)}, {tr(one.part_title)}" if one.part else tr(one.title)
    return Input(name, shown, max(0, len(one.figures) - MOST), style, tr(grade), works)
