"""The lesson as a page: curves, room in two views, questions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw
from rillbed.plan.lesson import DAYS, ON, Lesson, Settings, lesson
from rillbed.tongue import later, tr
from rillbed.words import lesson as said
from rillbed.words.numbers import between, number, say

NAMES = {"tan": later("ammonia"), "no2": later("nitrite"), "no3": later("nitrate")}
EVERY = 10


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    water: str
    limit: str
    eaten: str
    bed: str
    curves: tuple[tuple[str, SafeString], ...]
    rows: tuple[tuple[str, ...], ...]
    room: SafeString
    room_rows: tuple[tuple[str, str], ...]
    questions: tuple[str, ...]


run = lru_cache(maxsize=64)(lesson)


def page(settings: Settings) -> Page:
    """Run and lay out a lesson; the same settings are not run twice."""
    told = run(settings)
    return Page(
        water=said.water(told), limit=said.limit(told), eaten=said.eaten(told), bed=said.bed(told),
        curves=(
            (tr("Ammonia and nitrite"), _curve(told, ("tan", "no2"), tr("Ammonia and nitrite, mg/L as N"))),
            (tr("Nitrate"), _curve(told, ("no3",), tr("Nitrate, mg/L as N"))),
        ),
        rows=_rows(told), room=_room(told), room_rows=_views(told), questions=tuple(map(tr, said.QUESTIONS)),
    )  # fmt: skip


def _curve(told: Lesson, names: tuple[str, ...], unit: str) -> SafeString:
    days = [ON + timedelta(days=n) for n in range(DAYS + 1)]
    series = tuple(
        draw.Series(
            days, [b.middle for b in told.water[name]], [b.low for b in told.water[name]],
            [b.high for b in told.water[name]], stream="water" if name == "no3" else "life", label=tr(NAMES[name]),
            other=name == "no2",
        )
        for name in names
    )  # fmt: skip
    limits: tuple[draw.Limit, ...] = ()
    top = max(b.high for name in names for b in told.water[name])
    if "tan" in names and told.settings.fish and told.tan_limit_mg_l < 2.0 * top:
        limits = (draw.Limit(told.tan_limit_mg_l, tr("most ammonia fish bear")),)
    summary = say("{what}, over ninety days. {told}", what=unit, told=said.water(told))
    chart = draw.Chart(unit=unit, summary=summary, series=series, limits=limits,
        day_label=tr("day"),
    )  # fmt: skip
    return mark_safe(draw.line_chart(chart, half=True))


def _rows(told: Lesson) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (f"{day}", *(between(told.water[name][day].low, told.water[name][day].high) for name in NAMES))
        for day in range(0, DAYS + 1, EVERY)
    )


def _views(told: Lesson) -> tuple[tuple[str, str], ...]:
    return (
        (tr("Nitrogen carries"), said.area(told.balance_m2.low, told.balance_m2.high)),
        (tr("Feed rule says"), said.area(told.rule_m2.low, told.rule_m2.high)),
    )


def _room(told: Lesson) -> SafeString:
    bands = (told.balance_m2, told.rule_m2)
    rows = _views(told)
    views = tuple(draw.View(name, b.low, b.high, text) for (name, text), b in zip(rows, bands, strict=True))
    summary = " ".join(f"{name} {text}." for name, text in rows)
    summary += " " + say("The bed has {area}.", area=f"{number(told.settings.bed_m2)} m²")
    spec = draw.Room(summary, tr("m² of bed"), views, mark=told.settings.bed_m2, mark_label=tr("your bed"))
    return mark_safe(draw.room(spec))
