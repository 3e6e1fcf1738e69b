"""``rillbed forecast``: the year ahead as a table."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day, whole
from rillbed.cli.whatif import show_comparison
from rillbed.garden.change import parse_change
from rillbed.garden.texts import text_of
from rillbed.plan.advice import Reason
from rillbed.plan.answers import CyclingPlan
from rillbed.plan.outlook import COLUMNS, Outlook, outlook
from rillbed.plan.startup import Startup
from rillbed.plan.today import today
from rillbed.plan.whatif import compare
from rillbed.words import startup


@dataclass(frozen=True)
class Course(Outlook):
    """The year ahead, and where a start-up stands while there is one."""

    cycling: CyclingPlan | None = None
    start: Startup | None = None


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
    verb.add_argument(
        "--with", dest="change", type=Path, metavar="CHANGE", help="file of a change (TOML): show both futures"
    )
    verb.add_argument("--days", type=whole, default=182, metavar="DAYS", help="days ahead with --with (182)")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    # Read before the long run, so that a slip in it is told at once.
    change = None if args.change is None else parse_change(text_of(args.change), str(args.change))
    ran = run(args, system, entries)
    if change is not None:
        both = compare(
            system,
            entries,
            change,
            the_day(args),
            posterior=ran.posterior,
            horizon_days=args.days,
            members=args.members,
        )
        return give(args, both, show_comparison)
    answer = outlook(ran.forecast, the_day(args), timedelta(days=args.every), ran.known)
    told = today(system, entries, ran.forecast, the_day(args), ran.known, ran.posterior)
    return give(args, Course(**vars(answer), cycling=told.cycling, start=told.start), show)


def show(answer: Course, out: Console) -> None:
    """Print where a start-up stands, then one row per date: 8 futures in 10 lie between the two figures."""
    for line in startup.verdict(answer.cycling) if answer.cycling else ():
        out.print(f"[bold]{line}[/]", highlight=False)
    for line in startup.standing(answer.start) if answer.start else ():
        out.print(line, highlight=False)
    # Two tables: all columns in one are too wide for a terminal.
    for title, names in (("The water", WATER), ("Fish and plants", [name for name in COLUMNS if name not in WATER])):
        table = Table("day", *(COLUMNS[name][0] for name in names), title=f"{title}, 8 futures in 10")
        for row in answer.rows:
            bands = (row.bands[name] for name in names)
            table.add_row(words.day(row.on), *(words.between(band.low, band.high) for band in bands))
        out.print(table)
    for item in (*answer.notes, Reason("note.stop", {"why": answer.stop})):
        out.print(words.reason(item), highlight=False)
