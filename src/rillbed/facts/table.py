"""Tables of records whose columns come in groups, each with its grade and sources.

An origin is written as three columns (`temp_grade`, `temp_source`, `temp_note`), its source keys parted by blanks.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass, fields
from importlib.resources import files
from typing import Any, TypeVar, get_args, get_type_hints

GRADES = ("published", "derived", "practice", "memory")


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a group of figures comes from.

    Attributes
    ----------
    grade : str
        published, derived, practice or memory: the weakest in the group where they differ.
    source : tuple of str
        Keys of `facts.sources()`; a source named beside a practice or memory grade is where to check the figure.
    note : str
        Which part of the group stands on what, or empty.
    """

    grade: str
    source: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Sourced:
    """A record whose origins each stand for the fields before them, back to the previous origin."""

    @property
    def origins(self) -> tuple[Origin, ...]:
        """Every origin, in the order of the columns."""
        return tuple(value for field in fields(self) if isinstance(value := getattr(self, field.name), Origin))

    @property
    def grade(self) -> str:
        """The weakest grade of any group."""
        return max((origin.grade for origin in self.origins), key=GRADES.index)

    @property
    def source(self) -> tuple[str, ...]:
        """The keys of all sources, each once."""
        return tuple(dict.fromkeys(key for origin in self.origins for key in origin.source))

    def origin_of(self, name: str) -> Origin:
        """Return the origin of one figure; an unknown field raises KeyError."""
        names = [field.name for field in fields(self)]
        if name not in names:
            raise KeyError(f"{type(self).__name__.lower()} has no field {name!r}")
        later = (getattr(self, after) for after in names[names.index(name) :])
        return next(value for value in later if isinstance(value, Origin))


Record = TypeVar("Record", bound=Sourced)


def read_table(lines: Iterable[str], record: type[Record], name: str) -> dict[str, Record]:
    """Read records by id from lines of CSV.

    Raises
    ------
    ValueError
        If columns are missing or unknown, a value has the wrong type, a grade is unknown or an id comes twice.
    """
    hints = get_type_hints(record)
    kinds = {field.name: hints[field.name] for field in fields(record)}
    rows = csv.DictReader(lines)
    expected = {column for field, kind in kinds.items() for column in _columns(field, kind)}
    if wrong := expected ^ set(rows.fieldnames or ()):
        raise ValueError(f"{name}: columns {sorted(wrong)} are unknown or missing")
    found: dict[str, Record] = {}
    for row in rows:
        if row["id"] in found:
            raise ValueError(f"{name}: id {row['id']!r} must come once")
        where = f"{name}, {row['id']}"
        found[row["id"]] = record(**{field: _value(row, field, kind, where) for field, kind in kinds.items()})
    return found


def _columns(field: str, kind: object) -> tuple[str, ...]:
    if kind is not Origin:
        return (field,)
    group = field.removesuffix("_origin")
    return (f"{group}_grade", f"{group}_source", f"{group}_note")


def _value(row: dict[str, str], field: str, kind: Any, where: str) -> Any:
    if kind is Origin:
        grade, source, note = (row[column] for column in _columns(field, kind))
        if grade not in GRADES:
            raise ValueError(f"{where}: {field} has grade {grade!r}, allowed are {', '.join(GRADES)}")
        return Origin(grade, tuple(source.split()), note)
    text = row[field]
    if kind is str:
        return text
    if not text and type(None) in get_args(kind):
        return None
    number = int if kind is int else float
    try:
        return number(text)
    except ValueError:
        raise ValueError(f"{where}: {field} = {text!r} must be of type {number.__name__}") from None


def package_lines(name: str) -> list[str]:
    """Return the lines of a data file of this package."""
    return files(__package__).joinpath(name).read_text("utf-8").splitlines()
