"""Answers of the plans to JSON and back: the records say themselves which types their fields have."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from rillbed.words.plain import plain

T = TypeVar("T")

freeze = plain  # the same JSON as on the command line


def thaw(kind: type[T], data: Any) -> T:
    """Rebuild a record from what `freeze` made of it.

    Raises
    ------
    KeyError, TypeError, ValueError
        If the data are not of that type, e.g. written by another version.

    Examples
    --------
    >>> from rillbed.plan.answers import Band
    >>> thaw(Band, freeze(Band(1.0, 2.0, 3.0)))
    Band(low=1.0, middle=2.0, high=3.0)
    """
    return cast(T, _thaw(kind, data))


@cache
def _hints(kind: type) -> dict[str, Any]:
    # The type of free values refers to itself by name; nothing in it needs rebuilding.
    return get_type_hints(kind, localns={"Value": object})


def _thaw(kind: Any, data: Any) -> Any:
    origin, args = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return _choice(args, data)
    if origin is tuple:
        inner = args[:1] * len(data) if args[-1] is Ellipsis else args
        return tuple(_thaw(one, item) for one, item in zip(inner, data, strict=True))
    if origin is not None and issubclass(origin, Mapping):
        return {key: _thaw(args[1], item) for key, item in data.items()}
    if is_dataclass(kind) and isinstance(kind, type):
        hints = _hints(kind)
        return kind(**{field.name: _thaw(hints[field.name], data[field.name]) for field in fields(kind)})
    if kind is date:
        return date.fromisoformat(data)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind[data.upper()]
    if kind is float:
        return float("nan") if data is None else float(data)
    return _free(data)


def _choice(args: tuple[Any, ...], data: Any) -> Any:
    if data is None and type(None) in args:
        return None
    real = [one for one in args if one is not type(None)]
    return _thaw(real[0], data) if len(real) == 1 else _free(data)


def _free(data: Any) -> Any:
    """Values of free shape come back as they went, lists as tuples."""
    if isinstance(data, list):
        return tuple(_free(item) for item in data)
    if isinstance(data, dict):
        return {key: _free(item) for key, item in data.items()}
    return data
