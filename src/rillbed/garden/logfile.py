"""The log file: JSON lines are the exact form, CSV the one for spreadsheets; both give back the same entries."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rillbed.garden.errors import FileError, line_of
from rillbed.garden.log import LogEntry
from rillbed.garden.logcsv import log_from_csv, log_to_csv
from rillbed.garden.logrows import LOG_FORMAT, check_format, entry_of
from rillbed.garden.texts import text_of
from rillbed.tongue import tr

__all__ = ["LOG_FORMAT", "log_from_csv", "log_from_jsonl", "log_to_csv", "log_to_jsonl", "read_log", "write_log"]


def log_to_jsonl(entries: Iterable[LogEntry]) -> str:
    """Return a log as JSON lines: a line with the format, one line per entry, a line with their number."""
    lines = [entry.model_dump_json(exclude_none=True) for entry in entries]
    return "\n".join([json.dumps({"format": LOG_FORMAT}), *lines, json.dumps({"entries": len(lines)})]) + "\n"


def log_from_jsonl(text: str, where: str = "log") -> list[LogEntry]:
    """Return the entries of JSON lines in the order of the file.

    The first and last line may be missing in a file made by hand; a file that states its format must end whole.

    Raises
    ------
    FileError
        Naming line, field, value and what is allowed.
    """
    entries: list[LogEntry] = []
    seen: dict[Any, int] = {}
    stated, ended = False, False
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip():
            continue
        place = line_of(where, number)
        if ended:
            raise FileError(place, "entries", line, tr("nothing may follow the line with the number of entries"))
        try:
            data = json.loads(line)
        except json.JSONDecodeError as error:
            allowed = tr("must be one JSON object, cut short or damaged ({fault})").format(fault=error.msg)
            raise FileError(place, "json", line, allowed) from None
        except (ValueError, RecursionError):
            # Digits or brackets without end: nobody wrote this.
            raise FileError(place, "json", line, tr("must be one JSON object")) from None
        if not isinstance(data, dict):
            raise FileError(place, "json", line, tr("must be one JSON object"))
        if set(data) == {"format"}:
            check_format(data["format"], place)
            stated = True
        elif set(data) == {"entries"}:
            ended = True
            if data["entries"] != len(entries):
                allowed = tr("the file was written with {n} entries").format(n=data["entries"])
                raise FileError(place, "entries", len(entries), allowed)
        else:
            entry = entry_of(data, place)
            if entry.uuid in seen:
                allowed = tr("each entry needs its own; line {line} has it").format(line=seen[entry.uuid])
                raise FileError(place, "uuid", entry.uuid, allowed)
            seen[entry.uuid] = number
            entries.append(entry)
    if stated and not ended:
        raise FileError(where, "entries", len(entries), tr("the file is cut short: its last line is missing"))
    return entries


def read_log(path: Path | str) -> list[LogEntry]:
    """Read a log file: JSON lines if its first mark is a brace, otherwise CSV.

    Raises
    ------
    FileError
        If it cannot be read or an entry is refused; nothing is returned then.
    """
    text = text_of(path)
    reader = log_from_jsonl if text.lstrip().startswith("{") else log_from_csv
    return reader(text, str(path))


def write_log(entries: Iterable[LogEntry], path: Path | str) -> None:
    """Write a log file: CSV if the name ends in .csv, otherwise JSON lines."""
    path = Path(path)
    text = log_to_csv(entries) if path.suffix.lower() == ".csv" else log_to_jsonl(entries)
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(text)
