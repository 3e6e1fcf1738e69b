"""The form as shown: every question with what was typed, what it changes and what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rillbed import facts
from rillbed.garden.known import supplies
from rillbed.garden.system import System
from rillbed.tongue import later, tr
from rillbed.web.setup.effects import effects
from rillbed.web.setup.fields import Bound, Option, bind
from rillbed.web.setup.filled import OUT, rows
from rillbed.web.setup.questions import QUESTIONS, Question
from rillbed.words.numbers import capital
from rillbed.words.numbers import filled as put


@dataclass(frozen=True)
class Row:
    """One row of a list: its fields, and the name of the button that leaves it out; `given` if people named it."""

    title: str
    given: bool
    about: str
    fields: tuple[Bound, ...]
    out_name: str
    out: bool
    open: bool


@dataclass(frozen=True)
class Section:
    """A question as shown; `number` of `of`, `after` is the key of the next one."""

    question: Question
    number: int
    of: int
    after: str
    fields: tuple[Bound, ...]
    more: tuple[Bound, ...]
    more_open: bool
    rows: tuple[Row, ...]
    shows: str
    shelf: tuple[Option, ...] = ()
    problem: str = ""


SHELF = Question(
    "shelf", later("What is on your shelf?"), later("Only what you have is suggested, unless it cannot be done.")
)


def sections(
    filled: Mapping[str, str], shelf: Iterable[str], problems: Mapping[str, str], system: System | None
) -> list[Section]:
    """Return the whole form; `system` is the loop it stands for, None while that is incomplete."""
    asked = (*QUESTIONS, SHELF)
    changes = effects(system) if system else {}
    out = []
    for number, question in enumerate(asked, 1):
        more = tuple(bind(field, filled, problems) for field in question.more)
        out.append(
            Section(
                question=question,
                number=number,
                of=len(asked),
                after=asked[number].key if number < len(asked) else "known",
                fields=tuple(bind(field, filled, problems) for field in question.fields),
                more=more,
                more_open=any(bound.problem for bound in more),
                rows=tuple(_rows(question, filled, problems)),
                shows=changes.get(question.key, ""),
                shelf=_shelf(shelf) if question is SHELF else (),
                problem=problems.get(question.lists or question.key, ""),
            )
        )
    return out


def _rows(question: Question, filled: Mapping[str, str], problems: Mapping[str, str]) -> Iterable[Row]:
    found = rows(filled, question.lists) if question.lists else []
    for count, n in enumerate(found, 1):
        prefix = f"{question.lists}-{n}-"
        fields = tuple(bind(field, filled, problems, prefix) for field in question.row)
        kind = next(
            (
                option.label
                for bound in fields
                if bound.field.name == "species"
                for option in bound.options
                if option.chosen
            ),
            "",
        )
        named = filled.get(f"{prefix}name") or kind or put(question.nth, {"n": count})
        about = _about(fields)
        wrong = any(bound.problem for bound in fields)
        new = not any(filled.get(f"{prefix}{key}") for key in ("name", "count", "weight_g"))
        title = capital(named)
        given = bool(filled.get(f"{prefix}name"))
        yield Row(title, given, about, fields, prefix + OUT, bool(filled.get(prefix + OUT)), wrong or new)


def _about(fields: Iterable[Bound]) -> str:
    """Say in short what a folded row holds: its kind, and its first amount as typed."""
    by_name = {bound.field.name: bound for bound in fields}
    said = [
        by_name[name] for name in ("quantity", "count", "weight_g", "volume_l", "area_m2", "steps") if name in by_name
    ]
    parts = []
    for bound in said:
        chosen = next((option.label for option in bound.options if option.chosen), "")
        unit = next((option.label for option in bound.units if option.chosen), "")
        text = chosen or f"{bound.value}\u00a0{unit}".strip("\u00a0") if bound.value else ""
        parts.append(text)
    return ", ".join(filter(None, parts))


def _shelf(standing: Iterable[str]) -> tuple[Option, ...]:
    has = list(standing)
    known = supplies()
    offered = [key for key in known if key not in facts.feeds() or key in has]
    offered += [key for key in has if key not in known]
    return tuple(Option(key, tr(getattr(known.get(key), "name", key)), key in has) for key in offered)
