"""``rillbed room``: how many more plants the loop carries, seen two ways."""

from __future__ import annotations

import argparse

from rich.console import Console

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day
from rillbed.plan.answers import Room
from rillbed.plan.planting import room_reasons, room_title
from rillbed.plan.room import room


def confidence(text: str) -> float:
    """Parse a share between 0.5 and 0.95."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.5 <= value <= 0.95:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a share from 0.5 to 0.95")
    return value


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs,
        "room",
        "how many more plants the loop carries, and what binds",
        "rillbed room system.toml --log log.csv --crop basil --confidence 0.9",
    )
    add_loop(verb)
    verb.add_argument("--crop", metavar="ID", help="crop to count in (the best in season)")
    verb.add_argument("--confidence", type=confidence, default=0.8, metavar="SHARE", help="share of futures (0.8)")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    ran = run(args, system, entries)
    answer = room(
        system, entries, ran.forecast, the_day(args), crop=args.crop, confidence=args.confidence, known=ran.known
    )
    return give(args, answer, show)


def show(answer: Room, out: Console) -> None:
    """Print both views and what binds."""
    out.print(f"[bold]{words.reason(room_title(answer))}[/]", highlight=False)
    for item in room_reasons(answer):
        out.print(words.reason(item), highlight=False)
