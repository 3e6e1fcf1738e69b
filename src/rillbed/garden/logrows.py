"""What both forms of the log file share: the format number, and plain data to an entry."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid5

from rillbed.garden.errors import FileError, GardenError
from rillbed.garden.log import LogEntry
from rillbed.tongue import tr

LOG_FORMAT = 1
# Entries of a file made by hand may be called "1" or "first test"; the same label always gives the same uuid.
_LABELS = UUID("6f3b8a52-6a43-4b0e-9d0c-3f1d5a7c2e10")


def uuid_of(label: str) -> UUID:
    """Return the uuid that a label in a file stands for: itself if it is one."""
    try:
        return UUID(label)
    except ValueError:
        return uuid5(_LABELS, label)


def check_format(found: Any, where: str) -> None:
    """Refuse a log file in a format this program does not know.

    Raises
    ------
    FileError
        For a format that is no whole number from 1, or a newer one.
    """
    if isinstance(found, str) and found.isdigit():
        found = int(found)
    if not isinstance(found, int) or found < 1:
        raise FileError(where, "format", found, tr("must be a whole number from 1"))
    if found > LOG_FORMAT:
        allowed = tr("this program reads log files up to format {n}; a newer one wrote this")
        raise FileError(where, "format", found, allowed.format(n=LOG_FORMAT))


def entry_of(data: dict[str, Any], where: str) -> LogEntry:
    """Return the entry that plain data from a file describes; a version that is left out is 1.

    Raises
    ------
    FileError
        Naming field, value and what is allowed.
    """
    try:
        return LogEntry.make({"version": 1, **data})
    except GardenError as error:
        raise FileError(where, error.field.removeprefix("payload."), error.value, error.allowed) from None
