"""``rillbed oxygen``: how long the fish last when the air stops, what to do in order, and the heat ahead."""

from __future__ import annotations

import argparse
from dataclasses import dataclass

from rich.console import Console

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, busy, figure, give, loop, the_day
from rillbed.plan.ahead import ahead
from rillbed.plan.outage import Outlook, outlook
from rillbed.words import outage as said

EXAMPLE = "rillbed oxygen system.toml --log log.csv --on 2031-01-22 --temp 27 --ahead 22:34,24:39,31"
# The members only have to reach the day asked for.
HORIZON_DAYS = 1


@dataclass(frozen=True)
class Ahead:
    """Air temperatures of the days ahead as typed: means, or (lowest, highest)."""

    days: tuple[float | tuple[float, float], ...]


def days(text: str) -> Ahead:
    """Parse days of air temperature: ``31`` or ``22:34``, with commas between."""
    out: list[float | tuple[float, float]] = []
    for item in text.split(","):
        try:
            values = [figure(part) for part in item.split(":")]
        except argparse.ArgumentTypeError:
            values = []
        if len(values) not in (1, 2):
            raise argparse.ArgumentTypeError(f"{item!r}: write a mean, e.g. 31, or lowest:highest, e.g. 22:34")
        out.append(values[0] if len(values) == 1 else (values[0], values[1]))
    return Ahead(tuple(out))


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(verbs, "oxygen", "how long fish last when the air stops, and what to do in order", EXAMPLE)
    add_loop(verb)
    verb.add_argument("--temp", type=figure, metavar="C", help="water temperature, degC (read, else the members')")
    verb.add_argument("--oxygen", type=figure, metavar="MG_L", help="oxygen now, mg/L (read, else the members')")
    verb.add_argument("--ahead", type=days, metavar="DAYS", help="air of the days ahead, degC: 31 or 22:34, by commas")
    verb.add_argument("--card", action="store_true", help="print the card to pin up beside the tanks")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    on = the_day(args)
    with busy(f"Running {args.members} plausible versions of {system.name}"):
        forecast = ahead(
            system, entries, on=on, horizon_days=HORIZON_DAYS, members=args.members, seed=args.seed, budget="quick"
        )
    answer = outlook(
        system, entries, on, temp_c=args.temp, oxygen_mg_l=args.oxygen,
        days_ahead=args.ahead.days if args.ahead else (), forecast=forecast,
    )  # fmt: skip
    if args.card and not args.json:
        print(said.card(answer))
        return 0
    return give(args, answer, show)


def show(answer: Outlook, out: Console) -> None:
    """Print the tanks in the order they fail, the acts, and the warm days."""
    out.print(f"[bold]{answer.system}[/], {words.day(answer.on)} {answer.on.year}", highlight=False)
    for place, item in enumerate(answer.tanks, start=1):
        out.print(f"\n[bold]{place}. {said.tank(item)}[/]", highlight=False)
        for case in item.lasts:
            out.print(f"   {said.lasts(case)}", highlight=False)
        if item.lasts:
            out.print(f"   {said.air(item)}", highlight=False)
    if answer.acts:
        out.print("\n[bold]When the air stops[/]")
    for act in answer.acts:
        out.print(f"{said.by(act)}: {said.act(act)}", highlight=False)
        for line in said.reasons(act.why):
            out.print(f"   {line}", highlight=False)
        for code in act.cautions:
            out.print(f"   Caution: {said.caution(code)}", highlight=False)
    if answer.warm:
        out.print("\n[bold]The days ahead[/]")
    for day in answer.warm:
        out.print(said.warm_day(day), highlight=False)
        for line in said.reasons(day.advice):
            out.print(f"   {line}", highlight=False)
    for line in said.reasons(answer.notes):
        out.print(line, highlight=False)
