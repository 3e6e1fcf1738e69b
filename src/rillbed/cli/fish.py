"""``rillbed fish``: how big the fish are, when they are big enough, and what their number may come to."""

from __future__ import annotations

import argparse

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day
from rillbed.plan.fish import Fish, fish
from rillbed.words.numbers import amount, between, day, number


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs,
        "fish",
        "how big the fish are, when they are big enough, and what binds",
        "rillbed fish system.toml --log log.csv",
    )
    add_loop(verb)
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    ran = run(args, system, entries)
    return give(args, fish(system, entries, ran.forecast, the_day(args)), show)


def show(answer: Fish, out: Console) -> None:
    """Print what stands out, the groups, the week ahead and the kilograms."""
    for item in answer.verdict:
        out.print(f"[bold]{words.reason(item)}[/]", highlight=False)
    for shoal in answer.shoals:
        name = words.shoal(shoal.group, shoal.species)
        weight = between(shoal.weight_g.low, shoal.weight_g.high)
        out.print(f"{name}: {shoal.count}, {weight} g each, last weighed {day(shoal.weighed_on)}", highlight=False)
        if shoal.conversion is not None:
            out.print(f"  {number(shoal.conversion)} g of feed for each gram gained, as logged", highlight=False)
    if not answer.shoals:
        return
    table = Table("day", "water °C", "feed", "", title="The days ahead")
    for row in answer.days:
        temp = between(row.temp_c.low, row.temp_c.high)
        table.add_row(day(row.on), temp, amount(row.feed_g, "g"), " ".join(map(words.reason, row.notes)))
    out.print(table)
    table = Table("week of", "all fish, kg", "oxygen carries, kg", title="Kilograms, 8 futures in 10")
    for week in answer.kilograms[::4]:
        table.add_row(day(week.on), between(week.fish_kg.low, week.fish_kg.high), number(week.oxygen_kg))
    out.print(table)
    if answer.guide_kg is not None:
        low, high = answer.guide_kg
        out.print(f"By density alone: {number(low)} kg for a beginner, {number(high)} kg at most.", highlight=False)
