"""``rillbed forecast``: the year ahead as a table."""

from __future__ import annotations

import argparse
from datetime import timedelta

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, loop, run, the_day
from rillbed.plan.outlook import COLUMNS, Outlook, outlook
from rillbed.words.plain import to_json


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = verbs.add_parser("forecast", help="nitrogen, pH, fish and plants over the year ahead")
    add_loop(verb)
    verb.add_argument("--every", type=int, default=28, metavar="DAYS", help="days between rows (28)")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    if args.every < 1:
        raise ValueError(f"--every = {args.every}: at least 1 day")
    system, entries = loop(args)
    answer = outlook(run(args, system, entries), the_day(args), timedelta(days=args.every))
    if args.json:
        print(to_json(answer))
    else:
        show(answer, Console())
    return 0


def show(answer: Outlook, out: Console) -> None:
    """Print one row per date: 8 futures in 10 lie between the two figures."""
    table = Table("day", *(name for name, _ in COLUMNS.values()), title="8 futures in 10 lie between the two figures")
    for row in answer.rows:
        cells = [f"{words.number(band.low)}–{words.number(band.high)}" for band in row.bands.values()]
        table.add_row(words.day(row.on), *cells)
    out.print(table)
    for item in answer.notes:
        out.print(words.reason(item), highlight=False)
