"""Arguments that several verbs share, and reading the two files they name."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from rich.console import Console

from rillbed.engine import Forecast
from rillbed.garden.files import read_log, read_system
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import ahead


def day(text: str) -> date:
    """Parse a date as year-month-day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a date; write year-month-day, e.g. 2031-05-22") from None


def members(text: str) -> int:
    """Parse the number of members: 50 to 5000."""
    if not text.isdigit() or not 50 <= int(text) <= 5000:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a whole number from 50 to 5000")
    return int(text)


def add_loop(verb: argparse.ArgumentParser) -> None:
    """Add SYSTEM, --log, --on, --json, --members and --seed."""
    verb.add_argument("system", type=Path, metavar="SYSTEM", help="system file (TOML)")
    verb.add_argument("--log", type=Path, metavar="LOG", help="log file (CSV or JSON lines)")
    add_day(verb)
    verb.add_argument("--members", type=members, default=200, metavar="N", help="plausible loops to run (200)")
    verb.add_argument("--seed", type=int, metavar="N", help="other draws than the loop's own")


def add_day(verb: argparse.ArgumentParser) -> None:
    """Add --on and --json."""
    verb.add_argument("--on", type=day, metavar="DATE", help="day to answer for (today)")
    verb.add_argument("--json", action="store_true", help="print the answer as JSON")


def the_day(args: argparse.Namespace) -> date:
    """Day asked for; the clock is read here and nowhere further in."""
    return args.on if args.on is not None else date.today()


def loop(args: argparse.Namespace) -> tuple[System, Sequence[LogEntry]]:
    """Read the system file and, if named, the log."""
    return read_system(args.system), read_log(args.log) if args.log else ()


def run(args: argparse.Namespace, system: System, entries: Sequence[LogEntry]) -> Forecast:
    """Run the members with a sign of life on a terminal."""
    with busy(f"Running {args.members} plausible versions of {system.name}"):
        return ahead(system, entries, on=the_day(args), members=args.members, seed=args.seed)


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Show a spinner on stderr while something takes its time; silent when stderr is no terminal."""
    if not sys.stderr.isatty():
        yield
        return
    with Console(stderr=True).status(what):
        yield
