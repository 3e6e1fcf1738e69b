"""Every record of the facts as entries of one list: figures that share one grade and one source."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any

from rillbed import facts
from rillbed.facts.table import Origin, Sourced
from rillbed.web.sources.names import field_name, value, words

# Function of `facts` -> heading, in the order of safety: water first, then life, then what can be bought.
TABLES = {
    "facts": "Constants",
    "water_limits": "Limits of the water",
    "species": "Fish",
    "crops": "Crops",
    "feeds": "Feeds",
    "ammonia_sources": "Ammonia sources",
    "supplements": "Supplements",
    "element_fractions": "Elements in feed and fish",
    "feed_rate_bands": "Feed for each square metre",
    "media": "Growing media",
    "kits": "Test kits",
    "priors": "Ranges before any reading",
    "towns": "Weather",
}
GRADES = {
    "published": ("", "published", "with title, and table or page where known"),
    "derived": ("out", "worked out", "from published figures"),
    "practice": ("habit", "common practice", "widely done; a source beside it is where to check"),
    "memory": ("memory", "from memory", "not yet checked against print"),
}
ABOUT = frozenset({"key", "id", "name", "common_name", "scientific_name", "grade", "source", "note", "why", "at"})
ABOUT_FACT = frozenset({"read", "valid", "low", "high", "value", "unit"})


@dataclass(frozen=True)
class Pair:
    """One figure: its name, its value and its unit as text."""

    name: str
    value: str
    unit: str


@dataclass(frozen=True)
class Entry:
    """Figures that share one grade and one source.

    `table` is a key of `TABLES`, `grade` one of `GRADES`, `sources` are keys of `facts.sources()`.
    """

    table: str
    key: str
    title: str
    part: str
    figures: tuple[Pair, ...]
    grade: str
    sources: tuple[str, ...]
    valid: str = ""
    at: str = ""
    note: str = ""

    @property
    def haystack(self) -> str:
        """Everything that can be searched, in small letters."""
        known = facts.sources()
        named = [f"{known[key].title} {known[key].author}" for key in self.sources if key in known]
        figures = [pair.name for pair in self.figures]
        return " ".join([self.key, self.title, self.part, self.note, self.at, *figures, *named]).lower()


def tables() -> dict[str, Mapping[str, Any]]:
    """Return every table of facts by its name."""
    found: dict[str, Mapping[str, Any]] = {}
    for name in TABLES:
        read: Callable[[], Any] | None = getattr(facts, name, None)
        if read is None:
            continue
        rows = read()
        found[name] = rows if isinstance(rows, Mapping) else {row.key: row for row in rows}
    return found


@cache
def entries() -> tuple[Entry, ...]:
    """Return every entry, in the order of `TABLES` and of the tables."""
    return tuple(
        entry for name, rows in tables().items() for key, row in rows.items() for entry in _row(name, key, row)
    )


def _row(table: str, key: str, row: Any) -> Iterator[Entry]:
    if isinstance(row, Sourced):
        yield from _groups(table, key, row)
    elif hasattr(row, "value") and hasattr(row, "unit"):
        yield _fact(table, key, row)
    else:
        pairs = [pair for field in fields(row) if field.name not in ABOUT for pair in _pairs(field.name, row)]
        yield Entry(table, key, _title(key, row), "", tuple(pairs), row.grade, _sources(row), "", _at(row), _note(row))


def _groups(table: str, key: str, row: Sourced) -> Iterator[Entry]:
    pairs: list[Pair] = []
    for field in fields(row):
        held = getattr(row, field.name)
        if isinstance(held, Origin):
            part = words(field.name.removesuffix("_origin"))
            if pairs or held.note:
                yield Entry(table, key, _title(key, row), part, tuple(pairs), held.grade, held.source, note=held.note)
            pairs = []
        elif field.name not in ABOUT:
            pairs += _pairs(field.name, row)


def _fact(table: str, key: str, row: Any) -> Entry:
    figures = [Pair("", value(row.value), row.unit)]
    low, high = getattr(row, "low", None), getattr(row, "high", None)
    if low is not None and high is not None:
        figures.append(Pair("range", f"{value(low)}\u2060–\u2060{value(high)}", row.unit))
    valid = getattr(row, "valid", "") or ""
    return Entry(
        table, key, words(key), "", tuple(figures), row.grade, _sources(row), value(valid), _at(row), _note(row)
    )


def _pairs(name: str, row: Any) -> Iterator[Pair]:
    held = getattr(row, name)
    label, unit = field_name(name)
    if held is None or held == "" or held == ():
        return
    if isinstance(held, tuple) and is_dataclass(held[0]):
        for field in fields(held[0]):
            numbers = [one for item in held if (one := getattr(item, field.name)) is not None]
            inner, inner_unit = field_name(field.name)
            if numbers:
                span = f"{value(min(numbers))} to {value(max(numbers))}"
                yield Pair(f"{label}: {inner}", span, inner_unit)
    elif isinstance(held, Mapping):
        for inner_key, one in held.items():
            yield Pair(f"{label}: {words(str(inner_key))}", value(one), unit)
    elif isinstance(held, tuple):
        yield Pair(label, ", ".join(value(one) for one in held), unit)
    else:
        yield Pair(label, value(held), unit)


def _title(key: str, row: Any) -> str:
    return str(getattr(row, "common_name", None) or getattr(row, "name", None) or words(key))


def _sources(row: Any) -> tuple[str, ...]:
    held = getattr(row, "source", ())
    return tuple(held.split()) if isinstance(held, str) else tuple(held)


def _at(row: Any) -> str:
    return str(getattr(row, "at", "") or "")


def _note(row: Any) -> str:
    return str(getattr(row, "note", "") or getattr(row, "why", "") or "")
