"""``rillbed nutrients``: what runs short next, what to add, the books of every element; leaves and sprays."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.doses import DosePlan, Refusal
from rillbed.plan.elements import sprays
from rillbed.plan.elements.answer import Nutrients, nutrients
from rillbed.plan.elements.given import given_today
from rillbed.plan.elements.symptoms import SIGNS, Judged, judge
from rillbed.words import doses as said
from rillbed.words import elements

SHOWN_CAUSES = 3


@dataclass(frozen=True)
class Answer:
    """The answer with its sentences, as printed for programs."""

    nutrients: Nutrients
    short: tuple[str, ...]
    headline: str
    lines: tuple[str, ...]
    against: tuple[str, ...]


def sign(text: str) -> tuple[str, str]:
    """Parse ``sign=answer``."""
    name, equals, value = text.partition("=")
    if not equals or not value:
        raise argparse.ArgumentTypeError(f"{text!r}: needs a sign and an answer, e.g. where=new")
    return name, value


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs,
        "nutrients",
        "what runs short next, what to add, what leaves say, and whether a spray may go over fish",
        "rillbed nutrients system.toml --log log.csv --on 2031-05-22",
    )
    add_loop(verb)
    verb.add_argument("--before-planting", action="store_true", help="plan doses although nothing grows yet")
    verb.add_argument(
        "--leaf",
        type=sign,
        action="append",
        metavar="SIGN=ANSWER",
        help=f"what leaves show, e.g. where=new pattern=between_veins; signs: {', '.join(SIGNS)}, crop",
    )
    verb.add_argument("--spray", metavar="NAME", help="may this be sprayed here")
    verb.add_argument("--pest", metavar="PEST", choices=sprays.PESTS, help="what it is meant against")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    on = the_day(args)
    if args.spray is not None:
        return give(args, sprays.check(args.spray, pest=args.pest, system=system, entries=entries, on=on), show_spray)
    forecast = run(args, system, entries).forecast
    if args.leaf:
        return give(args, judge(system, entries, forecast, on, dict(args.leaf)), show_leaf)
    found = nutrients(system, entries, forecast, on, before_planting=args.before_planting)
    return give(
        args,
        Answer(
            found,
            tuple(elements.shortage(item) for item in found.short),
            elements.supplements_headline(found.doses),
            (*elements.supplements_lines(found.doses), *_unread(found, system, entries, on)),
            tuple(elements.against(item) for item in found.against),
        ),
        show,
    )


def _unread(found: Nutrients, system: System, entries: Sequence[LogEntry], on: date) -> tuple[str, ...]:
    given = given_today(found.doses, system, entries, on)
    return () if given is None else (said.unread(given),)


def show(answer: Answer, out: Console) -> None:
    """Print what to add, what runs short, what speaks against the books, and the books."""
    out.print(f"[bold]{answer.headline}[/]", highlight=False)
    for line in answer.lines:
        out.print(line, highlight=False, markup=False)
    _doses(answer.nutrients.doses.answer, out)
    out.print("\n[bold]What runs short next[/]", highlight=False)
    for line in answer.short:
        out.print(line, highlight=False, markup=False)
    if answer.against:
        out.print("\n[bold]Readings that speak against the books[/]", highlight=False)
        for line in answer.against:
            out.print(line, highlight=False, markup=False)
    books = answer.nutrients.ledger
    table = Table(title=f"Grams from {words.day(books.first)} to {words.day(books.last)}", title_justify="left")
    for name in ("", "In the water", "Came from", "Went to", "To fish", "To solids"):
        table.add_column(name)
    for account in books.accounts:
        table.add_row(*elements.account_row(account))
    out.print()
    out.print(table)


def _doses(answer: DosePlan | Refusal | None, out: Console) -> None:
    if answer is None:
        return
    text = said.answer(answer)
    if isinstance(answer, Refusal):
        for line in (*text.why, *text.instead):
            out.print(line, highlight=False)
    for step in text.steps:
        out.print(f"\n[bold]{step.when}: {step.title}: {step.amount}[/]", highlight=False)
        for line in step.lines:
            out.print(f"   {line}", highlight=False)
    for line in (*text.expect, *text.not_to_do):
        out.print(line, highlight=False)
    for line in text.cautions:
        out.print(f"Caution: {line}", highlight=False)


def show_leaf(found: Judged, out: Console) -> None:
    """Print the likeliest causes with evidence and remedy, and what to find out."""
    for cause in found.causes[:SHOWN_CAUSES]:
        out.print(f"[bold]{elements.cause_title(cause)}[/]", highlight=False)
        for head, items in (("For it", cause.evidence), ("Against it", cause.against), ("Do", cause.remedy)):
            for line in elements.reasons(items):
                out.print(f"   {head}: {line}", highlight=False, markup=False)
        out.print(f"   First: {words.listed(elements.check(code) for code in cause.check)}.", highlight=False)
        if cause.dose is not None:
            _doses(cause.dose.answer, out)
        if cause.trace is not None:
            out.print(f"   {elements.trace(cause.trace)}", highlight=False)
    if found.ask:
        first = elements.check(found.ask[0])
        out.print(f"What would help most: {first if first.endswith('?') else f'{first}.'}", highlight=False)


def show_spray(found: sprays.SprayCheck, out: Console) -> None:
    """Print the verdict on a spray."""
    head = {"allowed": "It may be used", "barrier": "Only off the water", "never": "Do not use it"}
    out.print(f"[bold]{head.get(found.verdict, 'Do not use it')}[/]", highlight=False)
    for line in elements.reasons((*found.why, *found.instead)):
        out.print(line, highlight=False, markup=False)
    for code in found.cautions:
        out.print(f"Caution: {elements.caution(code)}", highlight=False)
