"""What stands behind an amount: its formula, the figures that went in, and where each comes from."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts
from rillbed.plan.advice import Advice
from rillbed.web.sources.figures import GRADES, Entry, entries
from rillbed.words.formulas import formula

# Parts of a record that a formula uses; None = all of it.
PARTS: dict[str, tuple[str, ...] | None] = {
    "feed.ration": ("tgc", "ctmi", "fcr", "feed", "temp"),
    "room.chance": ("spacing", "time", "composition", "uptake"),
    "dose.nitrogen_for_rise": None,
}
MOST = 8  # figures of one part that are shown; the page of sources has them all


@dataclass(frozen=True)
class Input:
    """Figures that share a grade and a source."""

    name: str
    value: str
    style: str
    grade: str
    works: tuple[str, ...]


@dataclass(frozen=True)
class Why:
    """Everything behind one advice."""

    formula: tuple[str, ...]
    inputs: tuple[Input, ...]


def why(advice: Advice) -> Why:
    """Return formula and inputs of an advice, in the order of the tables."""
    found = [
        _input(one)
        for key in advice.facts
        for one in entries()
        if key in (f"{one.table}/{one.key}", one.key) and _used(advice.formula, one.part)
    ]
    return Why(formula(advice.formula), tuple(found))


def _used(code: str, part: str) -> bool:
    parts = PARTS.get(code)
    return parts is None or not part or part in parts


def _input(one: Entry) -> Input:
    style, grade, _ = GRADES[one.grade]
    known = facts.sources()
    shown = "; ".join(" ".join(filter(None, (pair.name, pair.value, pair.unit))) for pair in one.figures[:MOST])
    more = f"; {len(one.figures) - MOST} more" if len(one.figures) > MOST else ""
    works = tuple(f"{known[key].author}, {known[key].title}" for key in one.sources if key in known)
    return Input(f"{one.title} {one.part}".strip(), shown + more, style, grade, works)
