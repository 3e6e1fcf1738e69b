"""The reference of the programming interface as a page, from its own document; nothing is loaded from elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from rillbed.web.api.schema import schema

BOUNDS = {
    "exclusiveMinimum": "more than {}",
    "minimum": "{} or more",
    "exclusiveMaximum": "less than {}",
    "maximum": "{} or less",
    "minLength": "{} letters or more",
    "maxLength": "{} letters or fewer",
    "minItems": "{} or more of them",
    "maxItems": "{} or fewer of them",
}


@dataclass(frozen=True)
class Kind:
    """What a value is: words, and the records it is made of."""

    words: str
    records: tuple[str, ...] = ()


@dataclass(frozen=True)
class Line:
    """One field: its name, what it is, what is allowed, what it means."""

    name: str
    kind: Kind
    allowed: str
    about: str
    needed: bool


@dataclass(frozen=True)
class Address:
    """One thing that can be asked."""

    verb: str
    path: str
    summary: str
    about: str
    asked: tuple[Line, ...]
    sent: Kind | None
    given: tuple[Line, ...]
    answer: Kind
    codes: tuple[str, ...]


@dataclass(frozen=True)
class Record:
    """One kind of thing that answers are made of."""

    name: str
    about: str
    lines: tuple[Line, ...]


def kind_of(told: Mapping[str, Any]) -> Kind:
    """Say what a schema lets through.

    Examples
    --------
    >>> kind_of({"anyOf": [{"type": "array", "items": {"$ref": "#/components/schemas/Tank"}}, {"type": "null"}]})
    Kind(words='list of Tank or null', records=('Tank',))
    """
    if "$ref" in told:
        name = str(told["$ref"]).rpartition("/")[2]
        return Kind(name, (name,))
    for key in ("anyOf", "oneOf", "allOf"):
        if key in told:
            parts = [kind_of(one) for one in told[key]]
            either = " or ".join(dict.fromkeys(one.words for one in parts))
            return Kind(either, tuple(dict.fromkeys(r for one in parts for r in one.records)))
    if "const" in told or "enum" in told:
        return Kind("one of " + ", ".join(str(one) for one in told.get("enum", [told.get("const")])))
    kind = told.get("type", "anything")
    if kind == "array":
        inner = kind_of(told.get("items", {}))
        return Kind(f"list of {inner.words}", inner.records)
    if kind == "object" and isinstance(told.get("additionalProperties"), dict):
        inner = kind_of(told["additionalProperties"])
        return Kind(f"object of {inner.words}", inner.records)
    words = " or ".join(kind) if isinstance(kind, list) else str(kind)
    return Kind(f"{words} ({told['format']})" if "format" in told else words)


def _line(name: str, told: Mapping[str, Any], needed: bool) -> Line:
    options = [told, *told.get("anyOf", [])]
    allowed = [text.format(one[key]) for one in options for key, text in BOUNDS.items() if key in one]
    about = " ".join(str(told.get("description", "")).split())
    return Line(name, kind_of(told), ", ".join(allowed), about, needed)


def _lines(told: Mapping[str, Any]) -> tuple[Line, ...]:
    needed = set(told.get("required", ()))
    return tuple(_line(name, one, name in needed) for name, one in told.get("properties", {}).items())


def _content(told: Mapping[str, Any]) -> Mapping[str, Any]:
    found: Mapping[str, Any] = told.get("content", {}).get("application/json", {}).get("schema", {})
    return found


@cache
def addresses() -> tuple[Address, ...]:
    """Give every address."""
    out = []
    for path, verbs in schema()["paths"].items():
        for verb, told in verbs.items():
            good = _content(told["responses"]["200"])
            asked = tuple(
                _line(one["name"], one["schema"], one.get("required", False)) for one in told.get("parameters", ())
            )
            out.append(
                Address(
                    verb.upper(),
                    path,
                    told["summary"],
                    told.get("description", ""),
                    asked,
                    kind_of(_content(told["requestBody"])) if "requestBody" in told else None,
                    _lines(good),
                    kind_of(good),
                    tuple(str(code) for code in told["responses"]),
                )
            )
    return tuple(out)


@cache
def records() -> tuple[Record, ...]:
    """Give every record, by name."""
    found = schema()["components"]["schemas"]
    return tuple(
        Record(name, " ".join(str(told.get("description", "")).split("\n\n")[0].split()), _lines(told))
        for name, told in sorted(found.items())
    )
