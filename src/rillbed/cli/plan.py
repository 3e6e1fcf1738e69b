"""``rillbed plan``: what to sow, set out and pick, week by week, from what the household eats."""

from __future__ import annotations

import argparse
from datetime import timedelta

from rich.console import Console

from rillbed.cli.options import add_loop, add_verb, budget, busy, day, figure, give, loop, the_day, whole
from rillbed.cli.room import confidence
from rillbed.garden.fold import system_at
from rillbed.garden.household import Household
from rillbed.garden.system import System
from rillbed.plan.ahead import fitted
from rillbed.plan.beds.answers import Lock, PlantingPlan
from rillbed.plan.beds.draws import budget_ahead
from rillbed.plan.beds.plan import Effort, check_lock, plan_beds
from rillbed.words import beds as words
from rillbed.words.numbers import day as day_words

HORIZON = 365
PAGE_SECONDS = 10.0
SHOWN_WEEKS = 4


def eaten(text: str) -> tuple[str, float]:
    """Parse ``basil=2`` into a wish and its servings a week."""
    name, _, number = text.partition("=")
    try:
        return name.strip(), figure(number)
    except argparse.ArgumentTypeError:
        raise argparse.ArgumentTypeError(f"{text!r}: write what is eaten and servings a week, e.g. basil=2") from None


def lock(text: str) -> Lock:
    """Parse ``crop:bed:date:count`` into a line to keep."""
    parts = text.split(":")
    if len(parts) != 4:
        raise argparse.ArgumentTypeError(f"{text!r}: write crop:bed:date:count, e.g. basil:Raft:2031-05-22:6")
    try:
        return Lock(parts[0], parts[1], day(parts[2]), whole(parts[3]))
    except argparse.ArgumentTypeError:
        raise argparse.ArgumentTypeError(f"{text!r}: write crop:bed:date:count, e.g. basil:Raft:2031-05-22:6") from None


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs, "plan", "what to sow, set out and pick this week and after",
        "rillbed plan system.toml --log log.csv --eat leafy=7 --eat basil=2",
    )  # fmt: skip
    add_loop(verb)
    verb.add_argument("--confidence", type=confidence, default=0.8, metavar="SHARE", help="share of futures (0.8)")
    verb.add_argument(
        "--eat", type=eaten, action="append", default=[], metavar="WHAT=N",
        help="servings a week of a crop, group or class; in place of the household of the system file",
    )  # fmt: skip
    verb.add_argument(
        "--lock", type=lock, action="append", default=[], metavar="CROP:BED:DATE:N", help="a line kept as it is"
    )
    verb.add_argument("--weeks", type=whole, default=SHOWN_WEEKS, metavar="N", help="weeks to print (4)")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    on = the_day(args)
    # What cannot be is said before anything is worked out for long.
    home, standing = household(args, system), system_at(system, entries, on)
    for line in args.lock:
        check_lock(standing, line, on)
    with busy(f"Planning the beds of {system.name}") as tell:
        posterior = fitted(
            system, entries, on=on, members=args.members, seed=args.seed, budget=budget(args), progress=tell
        )
        forecast = budget_ahead(system, entries, on=on, posterior=posterior, horizon_days=HORIZON, members=args.members)
        answer = plan_beds(
            system, entries, forecast, on, confidence=args.confidence, household=home,
            locked=args.lock, effort=Effort(seconds=PAGE_SECONDS),
        )  # fmt: skip
    return give(args, answer, lambda plan, out: show(plan, out, args.weeks))


def household(args: argparse.Namespace, system: System) -> Household | None:
    """Read what is eaten from the command line; None leaves it to the system file."""
    if not args.eat:
        return None
    data = {} if system.household is None else system.household.model_dump()
    return Household.make({**data, "servings_week": dict(args.eat)})


def show(plan: PlantingPlan, out: Console, weeks: int) -> None:
    """Print the coming weeks, what is served, and why not more."""
    for week in plan.weeks[:weeks]:
        if not week.lines:
            continue
        last = week.start + timedelta(days=6)
        out.print(f"[bold]{day_words(week.start)} to {day_words(last)}[/]", highlight=False)
        for item in week.lines:
            out.print(f"  {day_words(item.on)}  {words.line(item)}", highlight=False, markup=False)
        out.print(f"  {words.budget(week)}", highlight=False, markup=False)
    rows = (
        *words.summary(plan),
        *(words.served(item) for item in plan.wishes),
        *(words.reason(item) for item in plan.refused),
    )
    for text in rows:
        out.print(text, highlight=False, markup=False)
