"""What to add, how long each element lasts, and the books, as a page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.plan.elements.answer import Nutrients
from rillbed.plan.elements.ledger import Account
from rillbed.plan.elements.short import Shortage
from rillbed.tongue import tr
from rillbed.web.dosing.page import NOTHING, Log
from rillbed.web.dosing.page import Page as Doses
from rillbed.web.dosing.page import page as dose_page
from rillbed.web.nutrients.books import Book, books
from rillbed.words import elements as said
from rillbed.words.numbers import between, number, say

FORTNIGHT = 14.0
MOST_DAYS = 90.0
MOST_OF_TEN = 20.0


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
    grams: tuple[tuple[str, str, str], ...]
    books: tuple[Book, ...]
    since: str


def page(found: Nutrients, loop: int, on: date, log: Log = NOTHING) -> Page:
    """Lay out an answer."""
    answer = found.doses.answer
    ledger = found.ledger
    return Page(
        headline=said.supplements_headline(found.doses),
        lines=said.supplements_lines(found.doses),
        doses=None if answer is None else dose_page(answer, loop, on, "nutrients", log),
        lasts=mark_safe(draw.room(_lasts(found.short, on))),
        short=tuple((_named(item.element), said.shortage(item)) for item in found.short),
        against=tuple(said.against(item) for item in found.against),
        flows=mark_safe(draw.room(_month(found))),
        grams=_grams(found),
        books=books(found.ledger),
        since=say("Grams from {first} to {last}.", first=_dated(ledger.first), last=_dated(ledger.last)),
    )


def _named(element: str) -> str:
    return words.capital(said.element(element))


def _dated(on: date) -> str:
    return words.day(on, year=True)


def _lasts(short: tuple[Shortage, ...], on: date) -> draw.Room:
    """Draw how long each element lasts; the mark stands at a fortnight."""
    views = []
    for item in short:
        early, middle, late = (MOST_DAYS if day is None else min(MOST_DAYS, (day - on).days) for day in item.dates)
        ends = (0.0, 0.0) if item.is_short else (early, late)
        text = tr("short now") if item.is_short else tr("more than 90") if early >= MOST_DAYS else between(*ends)
        if not item.is_short and early < MOST_DAYS <= late:
            text = say("{n} or more", n=early)
        views.append(draw.View(_named(item.element), ends[0], ends[1], text, binds=middle < FORTNIGHT))
    told = " ".join(f"{v.label}: {v.value}." for v in views)
    summary = f"{tr('Days until each element runs short.')} {told}"
    return draw.Room(summary, tr("days"), tuple(views), mark=FORTNIGHT, mark_label=tr("a fortnight"), top=MOST_DAYS)


def _month(found: Nutrients) -> draw.Room:
    """Draw, out of ten grams plants took in the last month, how many came in by themselves; the mark is all of it."""
    views = []
    for item in found.ledger.accounts:
        taken, low, high = _came(item)
        if taken <= 0.0:
            continue
        ends = (low / taken * 10.0, high / taken * 10.0)
        text = tr("20 or more") if ends[0] > MOST_OF_TEN else between(*ends)
        name = _named(item.element)
        views.append(draw.View(name, min(ends[0], MOST_OF_TEN), min(ends[1], MOST_OF_TEN), text))
    told = " ".join(f"{view.label} {view.value}." for view in views)
    summary = f"{tr('Came in for each ten that plants took in the last month.')} {told}"
    unit = tr("came in, for each 10 that plants took")
    return draw.Room(summary, unit, tuple(views), mark=10.0, mark_label=tr("as much"), top=MOST_OF_TEN)


def _grams(found: Nutrients) -> tuple[tuple[str, str, str], ...]:
    """Give the same in grams: element, what came in, what plants took in the middle."""
    return tuple(
        (_named(item.element), between(low, high), number(taken) if taken else tr("nothing"))
        for item in found.ledger.accounts
        for taken, low, high in (_came(item),)
    )


def _came(item: Account) -> tuple[float, float, float]:
    """Grams plants took in the last month, and the range of what came in."""
    taken = -sum(line.month_g.middle for line in item.lines if line.cause == "plants")
    lines = [line for line in item.lines if line.cause != "plants" and line.month_g.middle > 0.0]
    return taken, sum(line.month_g.low for line in lines), sum(line.month_g.high for line in lines)
