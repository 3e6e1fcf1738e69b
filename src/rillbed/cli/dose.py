"""``rillbed dose``: how much of an ammonia source lifts this volume by so much."""

from __future__ import annotations

import argparse

from rich.console import Console

from rillbed import words
from rillbed.cli.options import add_system, add_verb, give, positive
from rillbed.garden.files import read_system
from rillbed.plan.answers import Dose
from rillbed.plan.rules import REFILL_TO_MG_L
from rillbed.plan.sources import dose, dose_reasons


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    what = "amount of an ammonia source for this volume, and what it brings"
    verb = add_verb(verbs, "dose", what, "rillbed dose system.toml --source ammonia_solution --strength 9.5 --rise 1")
    add_system(verb)
    verb.add_argument("--source", metavar="ID", help="ammonia source (the system's own)")
    verb.add_argument("--rise", type=positive, default=REFILL_TO_MG_L, metavar="MG_L", help="rise, mg/L as N (2)")
    verb.add_argument("--litres", type=positive, metavar="L", help="water to lift (all of the system's)")
    verb.add_argument("--strength", type=positive, metavar="PERCENT", help="ammonia by mass, from the label")
    verb.add_argument("--json", action="store_true", help="print the answer as JSON")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    answer = dose(read_system(args.system), args.source, args.rise, volume_l=args.litres, strength_pct=args.strength)
    return give(args, answer, show)


def show(answer: Dose, out: Console) -> None:
    """Print the amount, what it does and its cautions."""
    amount = words.amount(answer.amount, answer.unit, 3)
    out.print(f"[bold]Stir in {words.supply(answer.source)}: {amount}[/]", highlight=False)
    for item in dose_reasons(answer):
        out.print(words.reason(item), highlight=False)
    for code in answer.cautions:
        out.print(f"Caution: {words.caution(code)}", highlight=False)
