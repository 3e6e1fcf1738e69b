"""Fields of the form: what they ask, and how each looks with what was typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from rillbed.tongue import tr
from rillbed.web.setup.measures import MEASURES, UNIT, unit_of

Options = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Field:
    """One question. `kind`: text, number, date, choice (a list of `options`), picks (buttons of them) or check.

    `measure` is a key of `MEASURES` for an amount; `help` one line under the field.
    """

    name: str
    label: str
    kind: str = "text"
    options: Callable[[], Options] | None = None
    measure: str = ""
    help: str = ""
    unit: str = ""  # a unit that cannot be chosen


@dataclass(frozen=True)
class Option:
    """One answer of a list or of a set of buttons."""

    value: str
    label: str
    chosen: bool


@dataclass(frozen=True)
class Bound:
    """A field as shown: with what was typed, and what is wrong with it."""

    field: Field
    name: str
    value: str
    options: tuple[Option, ...] = ()
    units: tuple[Option, ...] = ()
    unit: str = ""
    problem: str = ""
    place: str = ""  # tells the inputs of several forms on one page apart

    @property
    def id(self) -> str:
        """Return the id of the input, from which those of its help and its problem are made."""
        return f"f-{self.place}{self.name}"

    @property
    def unit_name(self) -> str:
        """Return the form name of the unit beside it."""
        return self.name + UNIT

    @property
    def described(self) -> str:
        """Return the ids of the lines that belong to it."""
        parts = [f"{self.id}-help" if self.field.help else "", f"{self.id}-problem" if self.problem else ""]
        return " ".join(filter(None, parts))


def bind(field: Field, filled: Mapping[str, str], problems: Mapping[str, str], prefix: str = "") -> Bound:
    """Return a field with what was typed into it."""
    name = prefix + field.name
    typed = filled.get(name, "")
    field = replace(field, label=tr(field.label), help=tr(field.help), unit=tr(field.unit))
    bound = Bound(field, name, typed, problem=problems.get(name, ""), unit=field.unit)
    if field.options is not None:
        offered = list(field.options())
        # An answer that is no longer offered stays visible, so that it can be refused by name.
        if typed and typed not in dict(offered):
            offered.append((typed, typed))
        bound = replace(bound, options=tuple(Option(key, tr(label), key == typed) for key, label in offered))
    if field.measure:
        choices, unit = MEASURES[field.measure].choices, unit_of(name, field.measure, filled)
        if len(choices) == 1:
            return replace(bound, unit=tr(choices[0][1]))
        return replace(bound, units=tuple(Option(key, tr(label), key == unit) for key, label in choices))
    return bound
