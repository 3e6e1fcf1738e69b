"""The log as CSV: rows that share `entry` form one entry, one row per field.

A reading puts its quantity in `field`, a temperature puts ``water`` or ``air`` there; both use `low` and `high`.
Amounts use `value` and `unit`. A file written by this program starts with a row ``format`` and ends with a row ``end``.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from rillbed.garden.errors import FileError, line_of
from rillbed.garden.log import LogEntry
from rillbed.garden.logrows import LOG_FORMAT, check_format, entry_of, uuid_of
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.shield import shielded, unshielded
from rillbed.tongue import tr

COLUMNS = ("entry", "at", "kind", "author", "supersedes", "field", "value", "unit", "low", "high")
_HEAD = ("at", "kind", "author", "supersedes")
_META = ("recorded_at", "version")


def log_to_csv(entries: Iterable[LogEntry]) -> str:
    """Return a log as CSV text that `log_from_csv` turns back into the same entries."""
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerow({"entry": "format", "value": LOG_FORMAT})
    number = 0
    for number, entry in enumerate(entries, start=1):  # noqa: B007 (the count is the last number)
        head = {
            "entry": str(entry.uuid),
            "at": entry.at.isoformat(),
            "kind": entry.kind,
            "author": shielded(entry.author),
            "supersedes": "" if entry.supersedes is None else str(entry.supersedes),
        }
        for row in _rows(entry) or [{}]:
            writer.writerow({**head, **row})
    writer.writerow({"entry": "end", "value": number})
    return out.getvalue()


def _rows(entry: LogEntry) -> list[dict[str, str]]:
    data = entry.payload.model_dump(mode="json", exclude_defaults=True)
    rows = []
    if entry.kind in ("reading", "temperature"):
        name = data.pop("quantity") if entry.kind == "reading" else data.pop("where", "water")
        row = {"field": name, "unit": str(data.pop("unit", "degC"))}
        rows.append(row | {key: repr(data.pop(key)) for key in ("value", "low", "high") if key in data})
    for name, value in data.items():
        if isinstance(value, dict) and set(value) == {"value", "unit"}:
            rows.append({"field": name, "value": repr(value["value"]), "unit": shielded(value["unit"])})
        elif isinstance(value, dict):
            whole = getattr(entry.payload, name).model_dump(mode="json", exclude_none=True)
            rows.append({"field": name, "value": json.dumps(whole, ensure_ascii=False)})
        else:
            rows.append({"field": name, "value": shielded(value) if isinstance(value, str) else json.dumps(value)})
    if entry.recorded_at.isoformat() != entry.at.isoformat():
        rows.append({"field": "recorded_at", "value": entry.recorded_at.isoformat()})
    if entry.version != 1:
        rows.append({"field": "version", "value": str(entry.version)})
    return rows


@dataclass
class _Draft:
    """One entry in the making, from the line where it starts."""

    line: int
    head: dict[str, str]
    payload: dict[str, Any] = field(default_factory=dict)
    meta: dict[str, str] = field(default_factory=dict)


def log_from_csv(text: str, where: str = "log") -> list[LogEntry]:
    """Return the entries of a CSV log in the order of the file.

    Parameters
    ----------
    text : str
        The file; the first row names the columns.
    where : str
        What to call the file in errors.

    Raises
    ------
    FileError
        Naming line, field, value and what is allowed; nothing is returned then.
    """
    drafts: dict[str, _Draft] = {}
    current = ""
    stated, ended = False, False
    for line, row in _lines(text, where):
        place, label = line_of(where, line), row["entry"].strip()
        if ended:
            raise FileError(place, "entry", label, tr("nothing may follow the row end"))
        if label == "format":
            check_format(row["value"], place)
            stated = True
        elif label == "end":
            ended = True
            if row["value"] != str(len(drafts)):
                allowed = tr("the file was written with {n} entries").format(n=row["value"])
                raise FileError(place, "end", len(drafts), allowed)
        elif not label:
            raise FileError(place, "entry", "", tr("each row needs the uuid or label of its entry"))
        else:
            if label != current and label in drafts:
                allowed = tr("each entry needs its own uuid; line {line} has it already")
                raise FileError(place, "entry", label, allowed.format(line=drafts[label].line))
            current = label
            draft = drafts.setdefault(label, _Draft(line, {key: row[key] for key in _HEAD}))
            _add(draft, row, place)
    if stated and not ended:
        raise FileError(where, "end", f"{len(drafts)} entries", tr("the file is cut short: its last row is missing"))
    entries = [_entry(label, draft, line_of(where, draft.line)) for label, draft in drafts.items()]
    seen: set[Any] = set()
    for entry, draft in zip(entries, drafts.values(), strict=True):
        if entry.uuid in seen:
            raise FileError(line_of(where, draft.line), "entry", entry.uuid, tr("each entry needs its own uuid"))
        seen.add(entry.uuid)
    return entries


def _lines(text: str, where: str) -> Iterator[tuple[int, dict[str, str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    columns: list[str] | None = None
    start = 1
    try:
        for cells in reader:
            line, start = start, reader.line_num + 1
            if not any(cells):
                continue
            if columns is None:
                columns = [cell.strip().lower() for cell in cells]
                if sorted(columns) != sorted(COLUMNS):
                    allowed = tr("must be {columns}").format(columns=",".join(COLUMNS))
                    raise FileError(line_of(where, line), "columns", ",".join(cells), allowed)
            elif len(cells) != len(columns):
                allowed = tr("each row has {n} columns; the file is cut short or a comma is unquoted")
                shown = tr("{n} columns").format(n=len(cells))
                raise FileError(line_of(where, line), "row", shown, allowed.format(n=len(columns)))
            else:
                yield line, dict(zip(columns, cells, strict=True))
    except csv.Error as error:
        raise FileError(line_of(where, start), "row", str(error), tr("the file is cut short or damaged")) from None
    if columns is None:
        raise FileError(where, "columns", "nothing", tr("must be {columns}").format(columns=",".join(COLUMNS)))


def _add(draft: _Draft, row: dict[str, str], place: str) -> None:
    for key in _HEAD:
        if row[key] and row[key] != draft.head[key]:
            allowed = tr("rows of one entry must agree; line {line} has {value}")
            raise FileError(place, key, row[key], allowed.format(line=draft.line, value=repr(draft.head[key])))
    name, value, unit = row["field"].strip(), unshielded(row["value"]), unshielded(row["unit"])
    kind = draft.head["kind"].strip()
    if not name:
        if value or unit:
            raise FileError(place, "field", "nothing", tr("a row with a value needs the name of its field"))
        return
    if name in draft.payload or name in draft.meta:
        raise FileError(place, "field", name, tr("given twice in one entry"))
    if name in _META:
        draft.meta[name] = value
    elif (kind == "reading" and name in QUANTITIES) or (kind == "temperature" and name in ("water", "air")):
        key = "quantity" if kind == "reading" else "where"
        if key in draft.payload:
            allowed = tr("one entry holds one reading; this one has {quantity}")
            raise FileError(place, "field", name, allowed.format(quantity=draft.payload[key]))
        draft.payload[key] = name
        if unit or kind == "reading":
            draft.payload["unit"] = unit
        draft.payload.update({end: row[end] for end in ("value", "low", "high") if row[end]})
    elif unit:
        draft.payload[name] = {"value": value, "unit": unit}
    elif kind == "set_up" and name == "system":
        draft.payload[name] = _json(value, name, place)
    else:
        draft.payload[name] = value


def _json(value: str, name: str, place: str) -> Any:
    try:
        return json.loads(value)
    except (ValueError, RecursionError):
        raise FileError(place, name, value, tr("must be whole JSON")) from None


def _entry(label: str, draft: _Draft, where: str) -> LogEntry:
    head = draft.head
    data: dict[str, Any] = {
        "uuid": uuid_of(label),
        "at": head["at"],
        "kind": head["kind"].strip(),
        "author": unshielded(head["author"]),
        "payload": draft.payload,
    }
    if head["supersedes"]:
        data["supersedes"] = uuid_of(head["supersedes"].strip())
    if "recorded_at" in draft.meta:
        data["recorded_at"] = draft.meta["recorded_at"]
    if "version" in draft.meta:
        found = draft.meta["version"]
        data["version"] = int(found) if found.isdigit() else found
    return entry_of(data, where)
