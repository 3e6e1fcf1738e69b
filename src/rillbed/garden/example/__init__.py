"""The invented loop of the demonstration: a system and a year of log, moved to end the day before it is opened."""

from __future__ import annotations

from datetime import date, timedelta
from importlib.resources import files

from rillbed.garden.files import parse_system
from rillbed.garden.log import LogEntry
from rillbed.garden.logfile import log_from_jsonl
from rillbed.garden.system import System


def load(on: date) -> tuple[System, list[LogEntry]]:
    """Return the invented loop and its log, all dates moved by whole days.

    Parameters
    ----------
    on : date
        Day on which it is opened; the last entry falls on the day before.

    Returns
    -------
    system : System
    entries : list of LogEntry
        About a year of them, in the order they were written.
    """
    folder = files(__name__)
    system = parse_system(folder.joinpath("system.toml").read_text("utf-8"), "example system")
    entries = log_from_jsonl(folder.joinpath("log.jsonl").read_text("utf-8"), "example log")
    last = max(system.day_of(entry.at) for entry in entries)
    shift = on - timedelta(days=1) - last
    moved = [
        entry.model_copy(update={"at": entry.at + shift, "recorded_at": entry.recorded_at + shift}) for entry in entries
    ]
    return system.model_copy(update={"started_on": system.started_on + shift}), moved
