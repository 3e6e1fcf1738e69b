"""The system file: one loop as TOML, with a format number, readable by every later version."""

from __future__ import annotations

from pathlib import Path

from rillbed.garden import toml_text
from rillbed.garden.errors import FileError, GardenError
from rillbed.garden.logfile import log_from_csv, log_from_jsonl, log_to_csv, log_to_jsonl, read_log, write_log
from rillbed.garden.system import SYSTEM_FORMAT, System
from rillbed.garden.texts import text_of, toml_of
from rillbed.tongue import tr

__all__ = [
    "FileError",
    "log_from_csv",
    "log_from_jsonl",
    "log_to_csv",
    "log_to_jsonl",
    "parse_system",
    "read_log",
    "read_system",
    "system_to_toml",
    "write_log",
    "write_system",
]


def parse_system(text: str, where: str = "system") -> System:
    """Return the loop that a TOML text describes; `where` names the text in errors.

    Raises
    ------
    FileError
        Naming field, value and what is allowed; also for a format newer than this program.
    """
    data = toml_of(text, where)
    found = data.get("format", SYSTEM_FORMAT)
    if isinstance(found, int) and found > SYSTEM_FORMAT:
        allowed = tr("this program reads system files up to format {n}; a newer one wrote this")
        raise FileError(where, "format", found, allowed.format(n=SYSTEM_FORMAT))
    try:
        return System.make(data)
    except GardenError as error:
        raise FileError(where, error.field, error.value, error.allowed) from None


def system_to_toml(system: System) -> str:
    """Return a loop as TOML text that `parse_system` turns back into the same loop."""
    return toml_text.dumps(system.model_dump(exclude_none=True))


def read_system(path: Path | str) -> System:
    """Read a system file.

    Raises
    ------
    FileError
        If it cannot be read or does not describe a loop.
    """
    return parse_system(text_of(path), str(path))


def write_system(system: System, path: Path | str) -> None:
    """Write a system file."""
    Path(path).write_text(system_to_toml(system), encoding="utf-8")
