"""``rillbed forecast``: the year ahead as a table."""

from __future__ import annotations

import argparse
from datetime import timedelta

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day, whole
from rillbed.plan.advice import Reason
from rillbed.plan.outlook import COLUMNS, Outlook, outlook

WATER = ("tan_mg_l", "no2_mg_l", "no3_mg_l", "ph", "temp_c")


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs,
        "forecast",
        "nitrogen, pH, fish and plants over the year ahead",
        "rillbed forecast system.toml --log log.csv --every 14 --json",
    )
    add_loop(verb)
    verb.add_argument("--every", type=whole, default=28, metavar="DAYS", help="days between rows (28)")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    ran = run(args, system, entries)
    answer = outlook(ran.forecast, the_day(args), timedelta(days=args.every), ran.known)
    return give(args, answer, show)


def show(answer: Outlook, out: Console) -> None:
    """Print one row per date: 8 futures in 10 lie between the two figures."""
    # Two tables: all columns in one are too wide for a terminal.
    for title, names in (("The water", WATER), ("Fish and plants", [name for name in COLUMNS if name not in WATER])):
        table = Table("day", *(COLUMNS[name][0] for name in names), title=f"{title}, 8 futures in 10")
        for row in answer.rows:
            bands = (row.bands[name] for name in names)
            table.add_row(words.day(row.on), *(words.between(band.low, band.high) for band in bands))
        out.print(table)
    for item in (*answer.notes, Reason("note.stop", {"why": answer.stop})):
        out.print(words.reason(item), highlight=False)
