"""What to add, how long each element lasts, and the books, as a page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.plan.elements.answer import Nutrients
from rillbed.plan.elements.short import Shortage
from rillbed.web.dosing.page import Page as Doses
from rillbed.web.dosing.page import page as dose_page
from rillbed.words import elements as said
from rillbed.words.numbers import between

FORTNIGHT = 14.0
MOST_DAYS = 90.0


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    headline: str
    lines: tuple[str, ...]
    doses: Doses | None
    lasts: SafeString
    short: tuple[tuple[str, str], ...]
    against: tuple[str, ...]
    flows: SafeString
    rows: tuple[tuple[str, ...], ...]
    since: str


def page(found: Nutrients, loop: int, on: date) -> Page:
    """Lay out an answer."""
    answer = found.doses.answer
    books = found.ledger
    return Page(
        headline=said.supplements_headline(found.doses),
        lines=said.supplements_lines(found.doses),
        doses=None if answer is None else dose_page(answer, loop, on, "nutrients"),
        lasts=mark_safe(draw.room(_lasts(found.short, on))),
        short=tuple((said.element(item.element).capitalize(), said.shortage(item)) for item in found.short),
        against=tuple(said.against(item) for item in found.against),
        flows=mark_safe(draw.room(_month(found))),
        rows=tuple(said.account_row(item) for item in books.accounts),
        since=f"Grams from {words.day(books.first)} {books.first.year} to {words.day(books.last)} {books.last.year}.",
    )


def _lasts(short: tuple[Shortage, ...], on: date) -> draw.Room:
    """Draw how long each element lasts; the mark stands at a fortnight."""
    views = []
    for item in short:
        early, middle, late = (MOST_DAYS if day is None else min(MOST_DAYS, (day - on).days) for day in item.dates)
        ends = (0.0, 0.0) if item.is_short else (early, late)
        text = "short now" if item.is_short else "more than 90" if early >= MOST_DAYS else between(*ends)
        if not item.is_short and early < MOST_DAYS <= late:
            text = f"{early:g} or more"
        views.append(
            draw.View(said.element(item.element).capitalize(), ends[0], ends[1], text, binds=middle < FORTNIGHT)
        )
    summary = "Days until each element runs short. " + " ".join(f"{v.label}: {v.value}." for v in views)
    return draw.Room(summary, "days", tuple(views), mark=FORTNIGHT, mark_label="a fortnight", top=MOST_DAYS)


def _month(found: Nutrients) -> draw.Room:
    """Draw, out of ten grams plants took in the last month, how many came in by themselves; the mark is all of it."""
    views = []
    for item in found.ledger.accounts:
        taken = -sum(line.month_g.middle for line in item.lines if line.cause == "plants")
        if taken <= 0.0:
            continue
        lines = [line for line in item.lines if line.cause != "plants" and line.month_g.middle > 0.0]
        low, high = (sum(getattr(line.month_g, end) for line in lines) / taken * 10.0 for end in ("low", "high"))
        name = said.element(item.element).capitalize()
        views.append(
            draw.View(name, min(low, 20.0), min(high, 20.0), "20 or more" if low > 20.0 else between(low, high))
        )
    summary = "Came in for each ten that plants took in the last month. " + " ".join(
        f"{v.label} {v.value}." for v in views
    )
    return draw.Room(
        summary, "came in, for each 10 that plants took", tuple(views), mark=10.0, mark_label="as much", top=20.0
    )
