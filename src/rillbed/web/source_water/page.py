"""The verdict on the source water as a page."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.plan.verdict import SourceVerdict
from rillbed.plan.verdict.buildup import BuildUp
from rillbed.tongue import tr
from rillbed.words import verdict as said
from rillbed.words.numbers import amount, between, chance, number, say
from rillbed.words.verdict_phrases import LEVELS


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    headline: str
    bands: tuple[said.BandWords, ...]
    reasons: tuple[str, ...]
    treat: str
    step: str
    months: tuple[tuple[str, ...], ...]
    ask: str
    cautions: tuple[str, ...]


def page(found: SourceVerdict) -> Page:
    """Lay out a verdict."""
    return Page(
        headline=say("As it comes: {level}.", level=tr(LEVELS[found.level])),
        bands=tuple(said.band(item) for item in found.bands),
        reasons=said.reasons(found.reasons),
        treat=_treat(found),
        step=_step(found),
        months=tuple(_month(item) for item in found.build_up),
        ask=say("Not known: {names}.", names=words.listed(map(said.inside, found.ask))) if found.ask else "",
        cautions=tuple(words.caution(code) for code in found.cautions),
    )


def _treat(found: SourceVerdict) -> str:
    if not found.treat_first:
        return ""
    if found.thiosulfate_g_100_l is None:
        return tr(
            "Treat it against chlorine and chloramine before any of it goes in: nobody knows yet that there is none."
        )
    grams = amount(found.thiosulfate_g_100_l, "g")
    return say(
        "Treat it first: {grams} of sodium thiosulfate (the salt with water in it) for each 100\u00a0L.", grams=grams
    )


def _step(found: SourceVerdict) -> str:
    if found.step is None:
        return tr("No change with it is safe as things stand.")
    litres, parts = amount(found.step.litres, "L", 3), number(10 * found.step.share)
    return say("Largest change at once: {litres}, {parts} parts in 10 of the loop.", litres=litres, parts=parts)


def _month(item: BuildUp) -> tuple[str, ...]:
    name = said.inside(item.element)
    unit = "meq/L" if item.element == "hardness" else "mg/L"
    known = "" if item.known else f" ({tr('assumed')})"
    limit = "–" if item.limit is None else f"{number(item.limit)} {unit}"
    over = chance(item.chance) if item.limit is not None else "–"
    drain = "–" if item.drain_l_day is None else amount(item.drain_l_day, "L a day")
    return (
        words.capital(name), f"{number(item.source)} {unit}{known}",
        between(item.now.low, item.now.high), between(item.later.low, item.later.high), limit, over, drain,
    )  # fmt: skip
