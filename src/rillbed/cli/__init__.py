"""The command line: one file per verb."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import NoReturn

from rillbed.cli import (
    backup,
    check,
    demo,
    doctor,
    dose,
    export,
    fish,
    forecast,
    nutrients,
    oxygen,
    plan,
    room,
    serve,
    size,
    today,
    work,
)  # fmt: skip
from rillbed.garden.texts import in_words

VERBS = (
    demo,
    serve,
    work,
    size,
    today,
    check,
    forecast,
    fish,
    room,
    plan,
    nutrients,
    dose,
    oxygen,
    backup,
    doctor,
    export,
)


class Parser(argparse.ArgumentParser):
    """Arguments whose errors are one line, as all others are."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where help is; end with 2."""
        self.exit(2, f"rillbed: {message}; see {self.prog} --help\n")


def parser() -> argparse.ArgumentParser:
    """Build the parser with every verb."""
    top = Parser(
        prog="rillbed",
        description="Fish, bacteria, water and beds of one loop: what to do today, and the year ahead.",
    )
    verbs = top.add_subparsers(dest="verb", required=True, metavar="VERB")
    for verb in VERBS:
        verb.add(verbs)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one verb and return the exit code: 0 done, 2 bad input (one line on stderr)."""
    args = parser().parse_args(argv)
    try:
        return int(args.run(args) or 0)
    except (ValueError, OSError) as error:
        # Errors of the inner layers name field, value and what is allowed; they fit on one line.
        text = f"{error.filename}: {in_words(error)}" if isinstance(error, OSError) and error.filename else str(error)
        print(f"rillbed: {' '.join(text.split())}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
