"""Reading the tables: one TOML file each, a table per row, every row a frozen record with a grade and sources.

Whatever a file holds that its record does not name is refused, and so is what a record needs and the file leaves out.
"""

from __future__ import annotations

import tomllib
from dataclasses import MISSING, dataclass, fields
from importlib.resources import files
from math import isfinite
from types import UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from rillbed.facts.table import GRADES


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row has.

    Attributes
    ----------
    id : str
        Its name in the table.
    grade : str
        published, derived, practice or memory; the weakest of its figures.
    source : tuple of str
        Keys of `facts.sources()`; beside a practice or memory grade they say where to check.
    note : str
        Which figure stands on what, or what to mind.
    """

    id: str
    grade: str
    source: tuple[str, ...] = ()
    note: str = ""


Record = TypeVar("Record", bound=Row)


def read_rows(name: str, record: type[Record]) -> dict[str, Record]:
    """Read a data file of this package.

    Raises
    ------
    ValueError
        Naming file, row and field: unknown or missing field, wrong type, unknown grade.
    """
    return rows_of(files(__package__).joinpath(name).read_text("utf-8"), record, name)


def rows_of(text: str, record: type[Record], name: str, prefix: str = "") -> dict[str, Record]:
    """Read rows from TOML text, with a prefix to their ids; see `read_rows`."""
    hints = get_type_hints(record)  # once a file: it is slow
    table = tomllib.loads(text).items()
    return {prefix + key: _row(prefix + key, data, record, hints, f"{name}, {key}") for key, data in table}


def _row(key: str, data: dict[str, Any], record: type[Record], hints: dict[str, Any], where: str) -> Record:
    known = {field.name: field for field in fields(record)}
    if unknown := data.keys() - (known.keys() - {"id"}):
        raise ValueError(f"{where}: unknown field {', '.join(sorted(unknown))}; allowed are {', '.join(known)}")
    needed = {k for k, field in known.items() if field.default is MISSING and field.default_factory is MISSING}
    if missing := needed - {"id"} - data.keys():
        raise ValueError(f"{where}: {', '.join(sorted(missing))} must be given")
    values = {field: _typed(value, hints[field], f"{where}: {field}") for field, value in data.items()}
    if values["grade"] not in GRADES:
        raise ValueError(f"{where}: grade = {values['grade']!r}, allowed are {', '.join(GRADES)}")
    return record(id=key, **values)


def _typed(value: Any, hint: Any, where: str) -> Any:
    """Return the value as the type of its field; a whole number may stand for a float."""
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        # A list goes to the tuple among the choices, anything else to the first that is not None.
        fitting = [
            arg for arg in args if arg is not type(None) and (get_origin(arg) is tuple) == isinstance(value, list)
        ]
        return _typed(value, (fitting or args)[0], where)
    if origin is Literal:
        if value not in args:
            raise ValueError(f"{where} = {value!r}, allowed are {', '.join(map(str, args))}")
        return value
    if origin is tuple and isinstance(value, list):
        return tuple(_typed(item, args[0], where) for item in value)
    if origin is dict and isinstance(value, dict):
        return {key: _typed(item, args[1], where) for key, item in value.items()}
    if hint is float and type(value) in (int, float) and isfinite(value):
        return float(value)
    if hint in (int, str, bool) and type(value) is hint:
        return value
    raise ValueError(f"{where} = {value!r} must be of type {getattr(hint, '__name__', hint)}")
