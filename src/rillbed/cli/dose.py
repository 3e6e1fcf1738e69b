"""``rillbed dose``: how much of an ammonia source lifts this volume by so much; or, with a goal, a safe plan for it."""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace
from pathlib import Path

from rich.console import Console

from rillbed import words
from rillbed.cli import readings
from rillbed.cli.options import add_day, add_system, add_verb, busy, figure, give, loop, members, positive, the_day
from rillbed.engine import Forecast
from rillbed.garden.files import read_system
from rillbed.plan import doses
from rillbed.plan.ahead import ahead
from rillbed.plan.answers import Dose
from rillbed.plan.rules import REFILL_TO_MG_L
from rillbed.plan.sources import dose, dose_reasons
from rillbed.words import doses as said

EXAMPLE = (
    "rillbed dose system.toml --goal raise_ph --target 6.8 --read ph=6.2 --read alkalinity=20:ppm_CaCO3 --read tan=0"
)
# What was given is used up within weeks; the members need not run further.
HORIZON_DAYS = 15
# Days spelt out in words; the later ones depend on what is read till then.
SHOWN_DAYS = 2


@dataclass(frozen=True)
class Answer:
    """A plan or a refusal with the keys of its sources and its words, as printed for programs."""

    answer: str
    plan: doses.DosePlan | doses.Refusal
    sources: tuple[str, ...]
    words: said.DoseWords
    unread: str = ""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(verbs, "dose", "amount of an ammonia source, or a safe plan for a goal such as raise_ph", EXAMPLE)
    add_system(verb)
    verb.add_argument("--source", metavar="ID", help="ammonia source (the system's own)")
    verb.add_argument("--rise", type=positive, default=REFILL_TO_MG_L, metavar="MG_L", help="rise, mg/L as N (2)")
    verb.add_argument("--litres", type=positive, metavar="L", help="water to dose, treat or change (all of it)")
    verb.add_argument("--strength", type=positive, metavar="PERCENT", help="ammonia by mass, from the label")
    goal = verb.add_argument_group("a plan for a goal")
    goal.add_argument("--goal", choices=doses.KINDS, metavar="GOAL", help=f"one of {', '.join(doses.KINDS)}")
    goal.add_argument("--target", type=figure, metavar="X", help="pH, meq/L or mg/L to get to (what the tables say)")
    goal.add_argument("--with", dest="substance", metavar="ID", help="supply to use (the shelf's best)")
    goal.add_argument("--quantity", default="tan", metavar="Q", help="what dilute is to bring down (tan)")
    goal.add_argument("--need", type=readings.amount, action="append", metavar="K=MG_L", help="rise for supplement")
    goal.add_argument("--fresh", type=readings.amount, action="append", metavar="Q=X", help="read in the fresh water")
    goal.add_argument("--read", type=readings.reading, action="append", metavar="Q=X", help="reading: no2=2..5:ion")
    goal.add_argument("--fish", action="append", metavar="SPECIES", help="kind of fish in it (those of the log)")
    goal.add_argument("--no-fish", action="store_true", help="no fish share this water")
    goal.add_argument("--no-plants", action="store_true", help="no plants share this water")
    goal.add_argument("--log", type=Path, metavar="LOG", help="log file: its readings, and members for the rest")
    goal.add_argument("--members", type=members, default=200, metavar="N", help="plausible loops to run (200)")
    add_day(verb)
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    if args.goal is not None:
        return give(args, planned(args), show_plan)
    for option, value in (
        ("--log", args.log), ("--target", args.target), ("--with", args.substance), ("--need", args.need),
        ("--fresh", args.fresh), ("--read", args.read), ("--fish", args.fish),
    ):  # fmt: skip
        if value is not None:
            raise ValueError(f"{option}: it only counts for a plan; name one with --goal: {', '.join(doses.KINDS)}")
    answer = dose(read_system(args.system), args.source, args.rise, volume_l=args.litres, strength_pct=args.strength)
    return give(args, answer, show)


def planned(args: argparse.Namespace) -> Answer:
    """Plan for the goal typed."""
    system, entries = loop(args)
    on = the_day(args)
    water = doses.Water(1000.0 * system.total_volume_m3)
    forecast: Forecast | None = None
    if args.log:
        water = doses.Water.of(system, entries, on)
        with busy(f"Running {args.members} plausible versions of {system.name}"):
            forecast = ahead(system, entries, on=on, horizon_days=HORIZON_DAYS, members=args.members, budget="quick")
    kinds = water.species if args.fish is None else tuple(args.fish)
    part = args.goal in ("dechlorinate", "dilute")
    water = replace(
        water,
        volume_l=water.volume_l if part or args.litres is None else args.litres,
        spans={**water.spans, **readings.spans(args.read)},
        species=kinds,
        fish=not args.no_fish and (water.fish or bool(kinds)),
        planted=not args.no_plants and water.planted,
    )
    goal = doses.Goal(
        args.goal,
        args.target,
        args.substance,
        args.quantity,
        litres=args.litres if args.goal == "dechlorinate" else None,
        each_litres=args.litres if args.goal == "dilute" else None,
        source=dict(args.fresh or ()),
        needs=dict(args.need or ()),
    )
    found = doses.plan(goal, water, system, forecast=forecast)
    kind = "refusal" if isinstance(found, doses.Refusal) else "plan"
    unread = ""
    quantity = doses.stands_on(goal)
    if args.log and quantity is not None and quantity not in readings.spans(args.read):
        unread = said.unread(doses.since(quantity, system, entries, on))
    return Answer(kind, found, found.sources, said.answer(found), unread)


def show_plan(answer: Answer, out: Console) -> None:
    """Print the steps, why, what comes next, and what to leave alone."""
    text = answer.words
    out.print(f"[bold]{text.headline}[/]", highlight=False)
    if answer.unread:
        out.print(f"[bold]{answer.unread}[/]", highlight=False)
    for line in text.why:
        out.print(line, highlight=False)
    shown = text.steps
    later = ""
    if isinstance(answer.plan, doses.DosePlan):
        shown = shown[: sum(step.day < SHOWN_DAYS for step in answer.plan.steps)]
        later = said.rest(answer.plan, SHOWN_DAYS)
    for step in shown:
        out.print(f"\n[bold]{step.when}: {step.title}: {step.amount}[/]", highlight=False)
        for line in step.lines:
            out.print(f"   {line}", highlight=False)
    if later:
        out.print(f"\n{later}", highlight=False)
    if text.steps:
        out.print()
    for line in (*text.expect, *text.instead, *text.not_to_do):
        out.print(line, highlight=False)
    for line in text.cautions:
        out.print(f"Caution: {line}", highlight=False)


def show(answer: Dose, out: Console) -> None:
    """Print the amount, what it does and its cautions."""
    amount = words.amount(answer.amount, answer.unit, 3)
    out.print(f"[bold]Stir in {words.supply(answer.source)}: {amount}[/]", highlight=False)
    for item in dose_reasons(answer):
        out.print(words.reason(item), highlight=False)
    for code in answer.cautions:
        out.print(f"Caution: {words.caution(code)}", highlight=False)
