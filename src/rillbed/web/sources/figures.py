"""Every record of the facts as entries of one list: figures that share one grade and one source."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache, cached_property
from inspect import isclass, signature
from typing import Any

from rillbed import facts
from rillbed.facts.table import Origin, Sourced
from rillbed.web.sources.names import field_name, part_name, readable, value
from rillbed.words.numbers import capital
from rillbed.words.phrases import QUANTITIES

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
    "choices": "Stand-ins and choices of the model",
    "growth_classes": "Growth by kind of crop",
    "dilution_curves": "Nitrogen that crops need as they grow",
    "priors": "Ranges before any reading",
    "symptoms": "What leaves show",
    "sprays": "Sprays over fish",
    "towns": "Weather",
    "hazards": "Cautions",
}
GRADES = {
    "published": ("", "published", "with title, and table or page where known"),
    "derived": ("out", "worked out", "from published figures"),
    "practice": ("habit", "common practice", "widely done; a source beside it is where to check"),
    "memory": ("memory", "from memory", "not yet checked against print"),
}
ABOUT = frozenset(
    {"key", "id", "name", "common_name", "scientific_name", "grade", "source", "note", "why", "at", "cautions", "codes"}
    | {"check", "remedy"}  # codes of what to do, said in whole sentences on the pages that use them
)
WITH_UNIT = frozenset({"low", "high", "steps", "median"})  # fields that stand in the unit of their row
READ = {"original": "read in the original", "second-hand": "read second-hand", "not read": "the source was not read"}
NBSP = "\u00a0"


@dataclass(frozen=True)
class Pair:
    """One figure: its name, its value and its unit as text."""

    name: str
    value: str
    unit: str


@dataclass(frozen=True)
class Entry:
    """Figures that share one grade and one source.

    `table` is a function of `facts`, `part` a group of columns of it, `grade` one of `GRADES`, `sources` are keys of
    `facts.sources()`.
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
    def part_title(self) -> str:
        """Return the part in words."""
        return part_name(self.part) if self.part else ""

    @cached_property
    def haystack(self) -> str:
        """Every word that can be searched, each after a blank."""
        known = facts.sources()
        named = [f"{known[key].title} {known[key].author}" for key in self.sources if key in known]
        figures = [pair.name for pair in self.figures]
        return searched(" ".join([self.key, self.title, self.part_title, self.note, self.at, *figures, *named]))

    def fits(self, wanted: str) -> bool:
        """Whether each word asked for begins a word of this entry."""
        return all(f" {word}" in self.haystack for word in searched(wanted).split())


def searched(text: str) -> str:
    """Put text into small words with a blank before each.

    Examples
    --------
    >>> searched("Iron, EDTA_(11 %)")
    ' iron edta 11'
    """
    return "".join(f" {word}" for word in re.findall(r"[^\W_]+", text.lower()))


@cache
def tables() -> dict[str, Mapping[str, Any]]:
    """Return every table of `facts` by its name: whatever it offers that is called without more and holds grades."""
    found: dict[str, Mapping[str, Any]] = {}
    for name, read in vars(facts).items():
        if not name.startswith("_") and callable(read) and not isclass(read) and not signature(read).parameters:
            rows = read()
            if isinstance(rows, Mapping) and all(hasattr(row, "grade") for row in rows.values()):
                found[name] = rows
    order = list(TABLES)
    return dict(sorted(found.items(), key=lambda one: order.index(one[0]) if one[0] in TABLES else len(order)))


def title(table: str) -> str:
    """Return the heading of a table."""
    return TABLES.get(table) or capital(table.replace("_", " "))


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
            group = field.name.removesuffix("_origin")
            if pairs or held.note:
                yield Entry(
                    table, key, _title(key, row), group, tuple(pairs), held.grade, held.source, note=readable(held.note)
                )
            pairs = []
        elif field.name not in ABOUT:
            pairs += _pairs(field.name, row)


def _fact(table: str, key: str, row: Any) -> Entry:
    unit = _unit(row.unit)
    held = row.value
    figures = [Pair("", ", ".join(value(one) for one in held) if isinstance(held, tuple) else value(held), unit)]
    if row.low is not None and row.high is not None:
        figures.append(Pair("range", f"{value(row.low)} to {value(row.high)}", unit))
    # Whether a source was read says something only where there is one.
    was_read = READ.get(getattr(row, "read", ""), "") if _sources(row) else ""
    notes = (was_read, readable(getattr(row, "how", "")), _note(row))
    note = ". ".join(capital(part).rstrip(".") for part in notes if part)
    return Entry(
        table, key, _title(key, row), "", tuple(figures), row.grade, _sources(row), _valid(row), _at(row), note
    )


def _valid(row: Any) -> str:
    parts = []
    for name, ends in (getattr(row, "valid", None) or {}).items():
        label, unit = field_name(name)
        parts.append(f"{label} {_span(list(ends))}{NBSP}{unit}".rstrip(NBSP))
    return ", ".join(parts)


def _pairs(name: str, row: Any) -> Iterator[Pair]:
    held = getattr(row, name)
    label, unit = field_name(name)
    default = next(field.default for field in fields(row) if field.name == name)
    # What a record leaves out says nothing, and neither does what is the same for nearly all.
    if held is None or held == "" or held == () or held == default:
        return
    if name == "unit":
        return
    if name in WITH_UNIT:
        unit = _unit(getattr(row, "unit", ""))
    if name == "quantity":
        held = QUANTITIES.get(str(held), str(held).replace("_", " "))
    if isinstance(held, tuple) and is_dataclass(held[0]):
        for field in fields(held[0]):
            numbers = [one for item in held if (one := getattr(item, field.name)) is not None]
            inner, inner_unit = field_name(field.name)
            if numbers:
                yield Pair(f"{label}: {inner}", _span(numbers), inner_unit)
    elif isinstance(held, Mapping):
        for inner_key, one in held.items():
            yield Pair(f"{label}: {field_name(str(inner_key))[0]}", value(one), unit)
    elif isinstance(held, tuple):
        yield Pair(label, ", ".join(value(one) for one in held), unit)
    else:
        yield Pair(label, value(held), unit)


def _span(found: list[Any]) -> str:
    if isinstance(found[0], str):
        return " or ".join(dict.fromkeys(found))
    return f"{value(min(found))} to {value(max(found))}"


def _unit(text: str) -> str:
    return "" if text == "1" else readable(text)


def _title(key: str, row: Any) -> str:
    named = getattr(row, "common_name", None) or getattr(row, "name", None)
    if named:
        return str(named)
    # Contents of plants: their unit stands behind the value.
    if "." not in key and key.endswith(("_crit_pct", "_lux_pct")):
        return field_name(key)[0]
    group, dot, figure = key.partition(".")
    # The unit of a figure stands behind its value, so it is left out of the name.
    return f"{group.replace('_', ' ')}: {field_name(figure)[0]}" if dot else key.replace("_", " ")


def _sources(row: Any) -> tuple[str, ...]:
    held = getattr(row, "source", ())
    return tuple(held.split()) if isinstance(held, str) else tuple(held)


def _at(row: Any) -> str:
    return str(getattr(row, "at", "") or "")


def _note(row: Any) -> str:
    return readable(getattr(row, "note", "") or getattr(row, "why", "") or "")
