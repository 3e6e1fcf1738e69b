"""Several loops side by side, what binds, two views of feed, stages and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, facts
from rillbed.plan.bands import Band
from rillbed.plan.size import Option, Sizing
from rillbed.tongue import current, tr
from rillbed.words import size as said
from rillbed.words.numbers import between, say

OUT_OF = 10.0


@dataclass(frozen=True)
class Card:
    """One loop: its name, figures, and whether it is within what there is."""

    code: str
    title: str
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Picture:
    """A drawing with its heading, its answer in a sentence and its table."""

    key: str
    title: str
    answer: str
    picture: SafeString
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    verdict: tuple[str, ...]
    based_on: str
    cards: tuple[Card, ...]
    pictures: tuple[Picture, ...]
    stages: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    species: str
    law: tuple[str, ...]
    why: tuple[tuple[str, str, str], ...]


def page(answer: Sizing) -> Page:
    """Lay out an answer."""
    middle = answer.options[1]
    return Page(
        verdict=tuple(said.verdict(item) for item in answer.verdict),
        based_on=say(
            "Worked out with {crops}; fish are eaten after about {days} days.",
            crops=said.crops(answer.crops),
            days=answer.days_to_table,
        ),
        cards=tuple(Card(o.code, said.title(o), said.pairs(o)) for o in answer.options),
        pictures=(_uses(middle), _feed(middle)),
        stages=tuple(said.stage(item) for item in answer.stages),
        cautions=tuple(said.caution(code, middle).partition(". ")[::2] for code in answer.cautions),
        species=tr(facts.species()[answer.species].common_name),
        law=said.species_caution(answer.species),
        why=_why(),
    )


def _uses(option: Option) -> Picture:
    rows = tuple(said.use(item) for item in option.uses)
    views = tuple(
        draw.View(name, OUT_OF * item.share.low, OUT_OF * item.share.high, value, binds=item.limit == option.binds)
        for item, (name, value) in zip(option.uses, rows, strict=True)
    )
    summary = f"{tr('Out of ten, how much of each limit it uses.')} {_told(rows)}"
    spec = draw.Room(summary=summary, unit=tr("out of 10"), views=views, mark=OUT_OF, mark_label=tr("all of it"))
    return Picture(
        "uses", tr("What binds in the middle loop"), tr("Out of 10: how much of each limit it uses."),
        mark_safe(draw.room(spec)), (tr("Limit"), tr("used, of 10")), rows,
    )  # fmt: skip


def _feed(option: Option) -> Picture:
    fed = Band(option.feed_g_day.middle, option.feed_g_day.middle, option.feed_g_day.high)
    found = (
        (tr("Nitrogen balance"), option.balance_g_day),
        (tr("This loop feeds"), fed),
        (tr("Feed rule"), option.rule_g_day),
    )
    rows = tuple((name, between(band.low, band.high)) for name, band in found)
    views = tuple(
        draw.View(name, band.low, band.high, text) for (name, band), (_, text) in zip(found, rows, strict=True)
    )
    summary = f"{tr('Grams of feed a day.')} {_told(rows)}"
    return Picture(
        "feed", say("Feed for {area} m², two views", area=current().number(f"{option.bed_m2:.1f}")),
        tr("The rule counts on feed for potassium and iron too; the balance counts on the shelf for those."),
        mark_safe(draw.room(draw.Room(summary=summary, unit=tr("g a day"), views=views))),
        (tr("View"), tr("g of feed a day")), rows,
    )  # fmt: skip


def _told(rows: tuple[tuple[str, str], ...]) -> str:
    return " ".join(f"{name} {value}." for name, value in rows)


def _why() -> tuple[tuple[str, str, str], ...]:
    """Every rule of practice behind it: what it says, its grade, and its note."""
    out = []
    for key, fact in facts.facts().items():
        if key.startswith("size."):
            spread = "" if fact.low is None or fact.high is None else f" ({fact.low:g}–{fact.high:g})"
            name = tr(key.removeprefix("size.").replace("_", " "))
            unit = "" if fact.unit == "1" else f" {tr(fact.unit)}"
            figure = current().number(f"{fact.value:g}{spread}")
            out.append((f"{name}: {figure}{unit}", tr(fact.grade), tr(fact.note or fact.how)))
    return tuple(out)
