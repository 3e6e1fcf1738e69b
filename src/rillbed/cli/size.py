"""``rillbed size``: a loop for those who have none yet, from appetite, space or fish."""

from __future__ import annotations

import argparse
from dataclasses import fields
from pathlib import Path

from rich.console import Console

from rillbed import facts
from rillbed.cli.options import add_day, add_verb, busy, figure, give, the_day
from rillbed.garden.errors import GardenError
from rillbed.garden.files import write_system
from rillbed.plan.size import Sizing, Wish, size
from rillbed.plan.size.wish import GROUNDS, KINDS, PLACES
from rillbed.words import size as said

EXAMPLE = "rillbed size --greens 14 --fish 4 --floor 7.5 --species nile_tilapia --town austin --place greenhouse"
NUMBERS = {
    "greens_week": ("--greens", "N", "portions of greens a week"),
    "fish_month": ("--fish", "N", "portions of fish a month"),
    "floor_m2": ("--floor", "M2", "floor there is, paths included, m2"),
    "fish_count": ("--fish-count", "N", "fish you would like to keep"),
    "latitude_deg": ("--latitude", "DEG", "where there is no town: latitude, south negative"),
    "longitude_deg": ("--longitude", "DEG", "longitude, west negative"),
    "heater_set_c": ("--heater", "C", "water is kept at least this warm, degC"),
    "kwh_price": ("--kwh-price", "P", "price of a kWh"),
    "feed_price_kg": ("--feed-price", "P", "price of a kg of feed"),
    "source_na_mg_l": ("--sodium", "MG_L", "sodium of the source water, mg/L"),
}


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(verbs, "size", "how big a loop should be, from appetite, space or fish", EXAMPLE)
    for name, (flag, meta, what) in NUMBERS.items():
        verb.add_argument(flag, dest=name, type=figure, metavar=meta, help=what)
    verb.add_argument("--species", required=True, metavar="ID", help="kind of fish, e.g. nile_tilapia")
    verb.add_argument("--town", metavar="ID", help="town whose weather it has, e.g. austin")
    verb.add_argument("--place", choices=PLACES, default="outdoors", help="where it stands (outdoors)")
    verb.add_argument("--beds", dest="bed_kind", choices=KINDS, default="media", help="kind of bed (media)")
    verb.add_argument("--medium", metavar="ID", help="medium of media beds, e.g. pumice")
    verb.add_argument("--feed", metavar="ID", help="feed, else one of middling protein")
    verb.add_argument("--ground", choices=GROUNDS, default="soil", help="what it stands on (soil); upper: a room below")
    verb.add_argument("--seasoned", action="store_true", help="years of practice and alarms: denser fish")
    verb.add_argument("--feed-only", dest="supplements", action="store_false", help="nothing but feed for the plants")
    verb.add_argument("--write", type=Path, metavar="FILE", help="write the middle loop as a system file")
    add_day(verb)
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    given = {f.name: getattr(args, f.name) for f in fields(Wish) if getattr(args, f.name, None) is not None}
    if args.town is not None:
        if args.town not in facts.towns():
            raise GardenError("town", args.town, "not in the table of towns; name --latitude and --longitude instead")
        town = facts.towns()[args.town]
        given |= {"latitude_deg": town.latitude_deg, "longitude_deg": town.longitude_deg}
    elif args.latitude_deg is None:
        raise GardenError("town", "nothing", "name a --town, or --latitude and --longitude")
    with busy("Sizing"):
        answer = size(Wish(**given), the_day(args))
    if args.write is not None:
        if args.write.exists():
            raise GardenError("write", args.write, "there is a file already; name another")
        write_system(answer.options[1].system, args.write)
    return give(args, answer, show)


def show(answer: Sizing, out: Console) -> None:
    """Print the verdict, the three loops, limits, stages and cautions."""
    middle = answer.options[1]
    for item in answer.verdict:
        out.print(f"[bold]{said.verdict(item)}[/]", highlight=False)
    out.print(f"Worked out with {said.crops(answer.crops)}; fish eaten after about {answer.days_to_table} days.")
    for option in answer.options:
        out.print(f"\n[bold]{said.title(option)}[/]", highlight=False)
        for name, value in said.pairs(option):
            out.print(f"   {name}: {value}", highlight=False)
    out.print("\n[bold]What the middle loop uses, of ten[/]")
    for use in middle.uses:
        out.print("   {}: {}".format(*said.use(use)), highlight=False)
    out.print("\n[bold]In stages[/]")
    for stage in answer.stages:
        out.print("   {}: {}".format(*said.stage(stage)), highlight=False)
    out.print()
    for code in answer.cautions:
        out.print(f"Caution: {said.caution(code, middle)}", highlight=False)
    for text in said.species_caution(answer.species):
        out.print(f"{facts.species()[answer.species].common_name}: {text}", highlight=False)
