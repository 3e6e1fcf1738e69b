"""A table for each kind of entry: one row an entry, one column a field, an amount as two; and back, row by row."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.garden.logrows import uuid_of
from rillbed.garden.shield import shielded, unshielded
from rillbed.tongue import tr

HEAD = ("uuid", "at", "recorded_at", "author", "supersedes", "version")
UNIT = "_unit"
MOST_ROWS = 200_000
MOST_ERRORS = 100
TEXT, AMOUNT, DATA, OTHER = "text", "amount", "data", "other"
_COMMA = re.compile(r"-?\d+,\d+")


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong in a file: where, what was given, what is allowed; row 1 names the columns."""

    file: str
    row: int
    field: str
    value: str
    allowed: str

    def line(self) -> str:
        """Say it in one line."""
        place = tr("{file}, row {row}").format(file=self.file, row=self.row) if self.row else self.file
        text = tr("{field}: {value} is not allowed; {allowed}")
        return f"{place}: " + text.format(field=self.field, value=repr(self.value), allowed=self.allowed)


def fault(file: str, row: int, error: GardenError) -> Fault:
    """Say a refusal with its place."""
    shown = error.value if isinstance(error.value, str) else ascii(error.value)
    shown = " ".join(shown.encode("utf-8", "backslashreplace").decode().split())[:80]
    return Fault(file, row, error.field.removeprefix("payload."), shown, error.allowed)


@cache
def fields(kind: str) -> dict[str, str]:
    """Give the fields of a kind's payload, each with the form it has in a cell."""
    told = PAYLOADS[kind].model_json_schema()
    return {name: _form(one, told.get("$defs", {})) for name, one in told.get("properties", {}).items()}


def _form(told: Mapping[str, Any], known: Mapping[str, Any]) -> str:
    options = [one for one in told.get("anyOf", [told]) if one.get("type") != "null"]
    refs = [str(one["$ref"]).rpartition("/")[2] for one in options if "$ref" in one]
    if any(set(known.get(name, {}).get("properties", ())) == {"value", "unit"} for name in refs):
        return AMOUNT
    if refs or any(one.get("type") in ("object", "array") for one in options):
        return DATA
    return TEXT if any(one.get("type") == "string" and "format" not in one for one in options) else OTHER


@cache
def columns(kind: str) -> tuple[str, ...]:
    """Give the columns of a kind's table."""
    own = [
        column for name, form in fields(kind).items() for column in ((name, name + UNIT) if form == AMOUNT else (name,))
    ]
    return (*HEAD, *own)


def table(kind: str, entries: Iterable[LogEntry]) -> str:
    """Write the table of a kind; text that a spreadsheet would take for a formula is shielded."""
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, columns(kind), restval="", lineterminator="\r\n")
    writer.writeheader()
    for entry in entries:
        writer.writerow(_row(entry))
    return out.getvalue()


def _row(entry: LogEntry) -> dict[str, str]:
    row = {
        "uuid": str(entry.uuid),
        "at": entry.at.isoformat(),
        "recorded_at": entry.recorded_at.isoformat(),
        "author": shielded(entry.author),
        "supersedes": "" if entry.supersedes is None else str(entry.supersedes),
        "version": str(entry.version),
    }
    forms = fields(entry.kind)
    for name, value in entry.payload.model_dump(mode="json", exclude_none=True).items():
        form = forms[name]
        if form == AMOUNT:
            row |= {name: repr(value["value"]), name + UNIT: shielded(value["unit"])}
        elif form == DATA:
            row[name] = json.dumps(value, ensure_ascii=False)
        elif form == TEXT:
            needed = PAYLOADS[entry.kind].model_fields[name].is_required()
            row[name] = shielded(value) or ("" if needed else "'")
        else:
            row[name] = value if isinstance(value, str) else json.dumps(value)
    return row


def entries_of(kind: str, text: str, file: str) -> tuple[list[tuple[int, LogEntry]], list[Fault]]:
    """Read the table of a kind: entries with their rows, and everything that is wrong."""
    found: list[tuple[int, LogEntry]] = []
    faults: list[Fault] = []
    try:
        for row, cells in _lines(kind, text):
            try:
                found.append((row, LogEntry.make(_entry(kind, cells))))
            except GardenError as error:
                faults.append(fault(file, row, error))
                if len(faults) >= MOST_ERRORS:
                    break
    except _Broken as broken:
        faults.append(fault(file, broken.row, broken.error))
    return found, faults


class _Broken(Exception):
    def __init__(self, row: int, field: str, value: object, allowed: str) -> None:
        self.row, self.error = row, GardenError(field, value, allowed)


def _lines(kind: str, text: str) -> Iterator[tuple[int, dict[str, str]]]:
    first = text.split("\n", 1)[0]
    mark = ";" if ";" in first and "," not in first else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    head: list[str] | None = None
    row = 0
    try:
        for cells in reader:
            row += 1
            if row > MOST_ROWS:
                raise _Broken(row, "rows", row, tr("at most {n} in one table").format(n=MOST_ROWS))
            if not any(cells):
                continue
            if head is None:
                head = [cell.strip() for cell in cells]
                unknown = [name for name in head if name not in columns(kind)]
                if unknown or len(set(head)) != len(head) or not {"uuid", "at"} <= set(head):
                    value = unknown[0] if unknown else ",".join(head)
                    allowed = tr("must be among {columns}; uuid and at needed")
                    raise _Broken(row, "columns", value, allowed.format(columns=", ".join(columns(kind))))
            elif len(cells) != len(head):
                allowed = tr("each row has {n}; cut short, or a comma is unquoted")
                raise _Broken(row, "cells", len(cells), allowed.format(n=len(head)))
            else:
                plain = dict(zip(head, cells, strict=True))
                yield row, plain if mark == "," else _with_points(kind, plain)
    except csv.Error as error:
        raise _Broken(row + 1, "row", str(error), tr("the file is cut short or damaged")) from None


def _with_points(kind: str, cells: dict[str, str]) -> dict[str, str]:
    """Read decimal commas, which spreadsheets write where they separate cells by semicolons."""
    forms = fields(kind)
    return {
        name: cell.replace(",", ".")
        if forms.get(name, "") in (AMOUNT, OTHER) and _COMMA.fullmatch(cell.strip())
        else cell
        for name, cell in cells.items()
    }


def _entry(kind: str, cells: Mapping[str, str]) -> dict[str, Any]:
    payload: dict[str, Any] = {}
    for name, form in fields(kind).items():
        cell = cells.get(name, "")
        if form == TEXT:
            needed = PAYLOADS[kind].model_fields[name].is_required()
            if cell or (needed and name in cells):
                payload[name] = unshielded(cell)
        elif not cell.strip():
            if form == AMOUNT and cells.get(name + UNIT, "").strip():
                raise GardenError(name, "nothing", tr("a unit needs its number"))
        elif form == AMOUNT:
            payload[name] = {"value": cell, "unit": unshielded(cells.get(name + UNIT, ""))}
        elif form == DATA:
            payload[name] = _data(name, cell)
        else:
            payload[name] = unshielded(cell)
    label = cells["uuid"].strip()
    if not label:
        raise GardenError("uuid", "nothing", tr("each entry needs its own"))
    entry: dict[str, Any] = {"uuid": uuid_of(label), "at": cells["at"], "kind": kind, "payload": payload}
    entry["author"] = unshielded(cells.get("author", ""))
    if cells.get("supersedes", "").strip():
        entry["supersedes"] = uuid_of(cells["supersedes"].strip())
    if cells.get("recorded_at", "").strip():
        entry["recorded_at"] = cells["recorded_at"]
    version = cells.get("version", "").strip()
    entry["version"] = (
        int(version) if version.isascii() and version.isdecimal() and len(version) < 9 else version
    ) or 1
    return entry


def _data(name: str, cell: str) -> Any:
    try:
        return json.loads(cell)
    except (ValueError, RecursionError):
        raise GardenError(name, cell[:60], tr("must be whole JSON")) from None
