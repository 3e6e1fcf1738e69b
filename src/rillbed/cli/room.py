"""``rillbed room``: how many more plants the loop carries, seen two ways."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import timedelta

from rich.console import Console
from rich.table import Table

from rillbed import facts, words
from rillbed.cli.options import add_loop, add_verb, budget, busy, crop, give, loop, run, the_day, whole
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import fitted
from rillbed.plan.answers import Room
from rillbed.plan.beds.draws import budget_ahead
from rillbed.plan.beds.harvest import Harvest, harvest
from rillbed.plan.beds.year import RoomWeek, room_by_week
from rillbed.plan.crops import bed_kinds, best_in_season, coming_air_c
from rillbed.plan.planting import room_reasons, room_title
from rillbed.plan.room import on_the_shelf, room


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
    verb.add_argument("--crop", type=crop, metavar="ID", help="crop to count in (the best in season)")
    verb.add_argument("--confidence", type=confidence, default=0.8, metavar="SHARE", help="share of futures (0.8)")
    verb.add_argument("--weeks", action="store_true", help="room over the coming year, by both views")
    bands = tuple(facts.feed_rate_bands())
    verb.add_argument("--band", default="leafy", metavar="ID", choices=bands, help="feed rule for --weeks (leafy)")
    verb.add_argument("--picked", type=whole, metavar="DAYS", help="what was picked in so many days, in place of room")
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    if args.picked is not None:
        first = max(system.started_on, the_day(args) - timedelta(days=args.picked - 1))
        return give(args, harvest(system, entries, first, the_day(args)), show_picked)
    if args.weeks:
        return give(args, by_week(args, system, entries), show_weeks)
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


def by_week(args: argparse.Namespace, system: System, entries: Sequence[LogEntry]) -> tuple[RoomWeek, ...]:
    """Work out room from month to month, in the crop named or the easiest in season."""
    on = the_day(args)
    with busy(f"Fitting {args.members} plausible versions of {system.name} to its log") as tell:
        posterior = fitted(
            system, entries, on=on, members=args.members, seed=args.seed, budget=budget(args), progress=tell
        )
        forecast = budget_ahead(system, entries, on=on, posterior=posterior, members=args.members)
    standing = system_at(system, entries, on)
    crop = args.crop or best_in_season(coming_air_c(standing, on), bed_kinds(standing))
    return room_by_week(
        standing, forecast, on, {crop: 1.0}, confidence=args.confidence, supplemented=on_the_shelf(standing),
        band=args.band,
    )  # fmt: skip


def show_weeks(weeks: tuple[RoomWeek, ...], out: Console) -> None:
    """Print room by week."""
    table = Table(title="Room, square metres", title_justify="left")
    for name in ("Week of", "Next batch", "Binds", "Nitrogen, for good", "Feed rule"):
        table.add_column(name)
    for week in weeks:
        batch = "-" if week.next_m2 is None else words.number(week.next_m2)
        binds = "-" if week.binding is None else words.quantity(week.binding)
        rule = words.between(*week.rule_m2)
        table.add_row(f"{words.day(week.start)} {week.start.year}", batch, binds, words.number(week.steady_m2), rule)
    out.print(table)


def show_picked(found: Harvest, out: Console) -> None:
    """Print what was picked."""
    out.print(
        f"[bold]{words.amount(found.picked_g, 'g')}, {words.amount(found.servings, 'servings')} from "
        f"{words.day(found.first)} {found.first.year} to {words.day(found.last)} {found.last.year}[/]",
        highlight=False,
    )
    for name, value, unit in (
        ("each square metre of bed", found.g_m2, "g"), ("each kilogram of feed", found.g_per_kg_feed, "g"),
    ):  # fmt: skip
        if value is not None:
            out.print(f"{words.amount(value, unit)} for {name}", highlight=False)
    for item in found.crops:
        ratio = "" if item.ratio is None else f", {words.number(10 * item.ratio)} of 10 of what was expected"
        out.print(f"{words.crop(item.crop)}: {words.amount(item.picked_g, 'g')}{ratio}", highlight=False)
