"""Arguments that several verbs share, and reading the two files they name."""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TypeVar

from rich.console import Console

from rillbed import facts
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.files import read_log, read_system
from rillbed.garden.fold import check
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import Budget
from rillbed.plan.answered import Answered, answered
from rillbed.plan.look import before_start
from rillbed.words.plain import to_json

Verb = argparse.ArgumentParser
MOST = 36_500  # days of a century; nothing that is counted here goes further


def day(text: str) -> date:
    """Parse a date as year-month-day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a date; write year-month-day, e.g. 2031-05-22") from None


def members(text: str) -> int:
    """Parse the number of members: 50 to 5000."""
    if not _digits(text) or not 50 <= int(text) <= 5000:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a whole number from 50 to 5000")
    return int(text)


def positive(text: str) -> float:
    """Parse a number above 0."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0.0 < value < math.inf:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a number above 0")
    return value


def figure(text: str) -> float:
    """Parse a number that is finite, with a point for decimals."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise argparse.ArgumentTypeError(f"{text[:20]!r}: needs a number, with a point for decimals")
    return value


def whole(text: str) -> int:
    """Parse a whole number from 1 to `MOST`."""
    if not _digits(text) or not 1 <= int(text) <= MOST:
        raise argparse.ArgumentTypeError(f"{text[:20]!r}: needs a whole number from 1 to {MOST}")
    return int(text)


def integer(text: str) -> int:
    """Parse any whole number that a computer counts with."""
    if not _digits(text.removeprefix("-")):
        raise argparse.ArgumentTypeError(f"{text[:20]!r}: needs a whole number of at most 18 digits")
    return int(text)


def crop(text: str) -> str:
    """Parse the id of a crop, before anything is worked out for long."""
    try:
        return must_be_known("crop", text, facts.crops(), "crop")
    except GardenError as error:
        raise argparse.ArgumentTypeError(f"{text[:60]!r}: {error.allowed}") from None


def _digits(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 18


def port(text: str) -> int:
    """Parse a port: 0 to 65535, 0 for any that is free."""
    if not _digits(text) or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a whole number from 0 to 65535; 0 takes a free port")
    return int(text)


def add_verb(verbs: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, example: str) -> Verb:
    """Add a verb with its one line, and an example under its help."""
    return verbs.add_parser(
        name,
        help=what,
        description=what[0].upper() + what[1:] + ".",
        epilog=f"Example: {example}",
    )


def add_loop(verb: argparse.ArgumentParser) -> None:
    """Add SYSTEM, --log, --on, --json, --members and --seed."""
    add_system(verb)
    verb.add_argument("--log", type=Path, metavar="LOG", help="log file (CSV or JSON lines)")
    add_day(verb)
    verb.add_argument("--members", type=members, default=200, metavar="N", help="plausible loops to run (200)")
    verb.add_argument("--seed", type=integer, metavar="N", help="other draws than the loop's own")
    verb.add_argument("--quick", action="store_true", help="a first answer in place of the whole fit to the log")


def add_system(verb: argparse.ArgumentParser) -> None:
    """Add SYSTEM."""
    verb.add_argument("system", type=Path, metavar="SYSTEM", help="system file (TOML)")


def add_day(verb: argparse.ArgumentParser) -> None:
    """Add --on and --json."""
    verb.add_argument("--on", type=day, metavar="DATE", help="day to answer for (today)")
    verb.add_argument("--json", action="store_true", help="print the answer as JSON")


def the_day(args: argparse.Namespace) -> date:
    """Day asked for; the clock is read here and nowhere further in."""
    return args.on if args.on is not None else date.today()


def loop(args: argparse.Namespace) -> tuple[System, Sequence[LogEntry]]:
    """Read the system file and, if named, the log.

    Raises
    ------
    ValueError
        For an entry of the loop's life before its start, or one that cannot have happened.
    """
    system = read_system(args.system)
    entries = read_log(args.log) if args.log else ()
    early = before_start(system, entries)
    if early:
        day = system.day_of(early[0].at)
        raise ValueError(
            f"{args.log}: entry {early[0].uuid} ({early[0].kind}).at: {day} is before the loop's start; "
            f"allowed from {system.started_on} (started_on of {args.system})"
        )
    # Also for a verb that does not need it: what cannot have happened is not left out in silence.
    check(system, entries)
    return system, entries


def budget(args: argparse.Namespace) -> Budget:
    """Whole fit or first answer, as asked for."""
    return "quick" if args.quick else "full"


def run(args: argparse.Namespace, system: System, entries: Sequence[LogEntry]) -> Answered:
    """Fit the members to the log and run them, with a sign of life on a terminal."""
    with busy(f"Fitting {args.members} plausible versions of {system.name} to its log") as tell:
        return answered(
            system,
            entries,
            on=the_day(args),
            members=args.members,
            seed=args.seed,
            budget=budget(args),
            progress=tell,
        )


T = TypeVar("T")


def give(args: argparse.Namespace, answer: T, show: Callable[[T, Console], None]) -> int:
    """Print an answer as JSON or in words."""
    if args.json:
        print(to_json(answer))
    else:
        show(answer, Console())
    return 0


@contextmanager
def busy(what: str) -> Iterator[Callable[[float], None]]:
    """Show a spinner on stderr while something takes its time; silent when stderr is no terminal.

    What it gives can be told the share that is done.
    """
    if not sys.stderr.isatty():
        yield lambda share: None
        return
    with Console(stderr=True).status(what) as status:
        yield lambda share: status.update(f"{what}, {round(10 * share)} parts of 10 done")
