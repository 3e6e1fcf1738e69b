"""``rillbed today``: what to do now, most urgent first."""

from __future__ import annotations

import argparse

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.cli.options import add_loop, add_verb, give, loop, run, the_day
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Today
from rillbed.plan.today import today
from rillbed.words import learned, startup

GLANCE = {
    "tan_mg_l": ("Ammonia", "mg/L as N"),
    "no2_mg_l": ("Nitrite", "mg/L as N"),
    "no3_mg_l": ("Nitrate", "mg/L as N"),
    "ph": ("pH", ""),
    "alkalinity_meq_l": ("Alkalinity", "meq/L"),
    "o2_min_mg_l": ("Oxygen at dawn", "mg/L"),
    "temp_c": ("Water", "°C"),
    "fish_weight_g": ("One fish", "g"),
    "feed_g_day": ("Feed", "g a day"),
    "plant_area_m2": ("Planted", "m²"),
}


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs, "today", "what to do now, most urgent first", "rillbed today system.toml --log log.csv --on 2031-05-22"
    )
    add_loop(verb)
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    system, entries = loop(args)
    ran = run(args, system, entries)
    answer = today(system, entries, ran.forecast, the_day(args), ran.known, ran.posterior)
    return give(args, answer, show)


def show(answer: Today, out: Console) -> None:
    """Print the answer as a list and small tables."""
    out.print(f"[bold]{answer.system}[/], {words.day(answer.on)} {answer.on.year}", highlight=False)
    out.print(words.reason(answer.verdict), highlight=False)
    for place, advice in enumerate(answer.advice, start=1):
        said = words.sentence(advice)
        head = f"{said.title}: {said.amount}" if said.amount else said.title
        out.print(f"\n[bold]{place}. {head}[/]", highlight=False)
        for line in (*said.reasons, *((said.expect,) if said.expect else ())):
            out.print(f"   {line}", highlight=False)
        for line in said.cautions:
            out.print(f"   Caution: {line}", highlight=False)
    table = Table("", "middle", "8 futures in 10", "", title="\nThe loop at the end of this day")
    for key, (name, unit) in GLANCE.items():
        if key in answer.glance:
            band = answer.glance[key]
            table.add_row(name, words.least(band.middle), words.between(band.low, band.high), unit)
    out.print(table)
    for line in startup.standing(answer.start) if answer.start else ():
        out.print(line, highlight=False)
    for line in _known(answer):
        out.print(line, highlight=False)
    for item in (*answer.coming_up, *answer.notes, Reason("note.stop", {"why": answer.stop})):
        out.print(words.reason(item), highlight=False)


def _known(answer: Today) -> list[str]:
    """Say what does not fit, and what would sharpen the forecast."""
    known = answer.known
    if known is None:
        return []
    odd = [learned.question(one) for one in known.questions if one.ask]
    return [*odd, *learned.wanted(known), *((learned.score(known.trust),) if known.trust.count else ())]
