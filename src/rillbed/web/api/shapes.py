"""The shape of an answer as JSON schema, read off its types by the rules of `rillbed.words.plain`."""

from __future__ import annotations

import dataclasses
import inspect
import types
from collections.abc import Mapping, Sequence
from datetime import date
from enum import Enum
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel

REF = "#/components/schemas/{model}"
ANYTHING: dict[str, Any] = {}


def shape(kind: Any, known: dict[str, Any]) -> dict[str, Any]:
    """Give the schema of what `plain` makes of a value of this type; records go into `known` and are referred to.

    Examples
    --------
    >>> shape(tuple[float, ...] | None, {})
    {'anyOf': [{'type': 'array', 'items': {'type': ['number', 'null']}}, {'type': 'null'}]}
    """
    origin, args = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return {"anyOf": [shape(one, known) for one in args]}
    if origin is Literal:
        return {"enum": list(args)}
    if origin is not None:
        return _of_many(origin, args, known)
    if not isinstance(kind, type):
        return ANYTHING
    return _of_one(kind, known)


def _of_many(origin: Any, args: tuple[Any, ...], known: dict[str, Any]) -> dict[str, Any]:
    if not isinstance(origin, type):
        return ANYTHING
    if issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": shape(args[1], known)}
    if issubclass(origin, tuple) and (len(args) != 2 or args[1] is not Ellipsis):
        ends = {"minItems": len(args), "maxItems": len(args)}
        return {"type": "array", "prefixItems": [shape(one, known) for one in args], **ends}
    if issubclass(origin, Sequence | list | tuple):
        return {"type": "array", "items": shape(args[0], known)}
    return ANYTHING


def _of_one(kind: type, known: dict[str, Any]) -> dict[str, Any]:
    if kind is types.NoneType:
        return {"type": "null"}
    if issubclass(kind, Enum):
        return {"enum": [one.name.lower() for one in kind]}
    if issubclass(kind, bool):
        return {"type": "boolean"}
    if issubclass(kind, str):
        return {"type": "string"}
    if issubclass(kind, int):
        return {"type": "integer"}
    if issubclass(kind, float):
        return {"type": ["number", "null"]}  # what is not finite becomes null
    if issubclass(kind, date):
        return {"type": "string"}
    if issubclass(kind, BaseModel) or dataclasses.is_dataclass(kind):
        return _record(kind, known)
    return ANYTHING


def _hints(kind: type) -> dict[str, Any]:
    """Give the types of the fields; one whose name is known to the type checker only can be anything."""
    found: dict[str, Any] = {}
    for base in reversed(kind.__mro__):
        for name, said in vars(base).get("__annotations__", {}).items():
            try:
                found[name] = get_type_hints(
                    type("One", (), {"__annotations__": {name: said}, "__module__": base.__module__})
                )[name]
            except NameError:
                found[name] = object
    return found


def _record(kind: type, known: dict[str, Any]) -> dict[str, Any]:
    name = f"{kind.__module__.removeprefix('rillbed.').replace('.', '_')}_{kind.__name__}"
    if name not in known:
        known[name] = {}  # it may hold itself
        if issubclass(kind, BaseModel):
            made = kind.model_json_schema(ref_template=REF, mode="serialization")
            known |= made.pop("$defs", {})
            known[name] = made
        else:
            assert dataclasses.is_dataclass(kind)
            hints = _hints(kind)
            fields = [one.name for one in dataclasses.fields(kind)]
            known[name] = {
                "type": "object",
                "description": (inspect.getdoc(kind) or "").split("\n\n")[0],
                "properties": {one: shape(hints[one], known) for one in fields},
                "required": fields,
                "additionalProperties": False,
            }
    return {"$ref": REF.format(model=name)}
