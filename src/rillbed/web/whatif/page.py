"""Two futures as a page: what changes, safety first, then each figure as planned, as changed, and their difference."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.plan.bands import Band
from rillbed.plan.whatif import Comparison, Week
from rillbed.tongue import later, tr
from rillbed.words import futures
from rillbed.words.numbers import say

STREAMS: dict[str, draw.spec.Stream] = {
    "o2_min_mg_l": "water", "tan_mg_l": "life", "no2_mg_l": "life", "ph": "water", "no3_mg_l": "water",
    "fish_weight_g": "fish", "feed_g_day": "fish",
}  # fmt: skip
UNITS = {
    "o2_min_mg_l": "mg/L", "tan_mg_l": later("mg/L as N"), "no2_mg_l": later("mg/L as N"), "ph": "",
    "no3_mg_l": later("mg/L as N"), "fish_weight_g": "g", "feed_g_day": later("g a day"),
}  # fmt: skip
FREE = ("ph",)  # an axis that does not begin at nothing
HEADS = (later("Day"), later("as planned"), later("changed"), later("difference"))


@dataclass(frozen=True)
class Panel:
    """One picture with its heading."""

    title: str
    picture: SafeString


@dataclass(frozen=True)
class Both:
    """One figure in both futures."""

    key: str
    title: str
    panels: tuple[Panel, Panel]
    difference: Panel
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    name: str
    verdict: tuple[str, ...]
    effects: tuple[tuple[str, str, str, str, str], ...]
    figures: tuple[Both, ...]
    members: int
    days: int
    notes: tuple[str, ...]
    heads: tuple[str, ...]


def page(answer: Comparison) -> Page:
    """Put the page together."""
    rows = tuple(
        (
            futures.name(one),
            futures.ends(one.planned),
            futures.ends(one.changed),
            futures.ends(one.difference),
            futures.sure(one),
        )
        for one in answer.effects
    )
    moved = [one for one in answer.effects if futures.sure(one).startswith(("higher", "lower"))]
    told = tuple(f"{tr(futures.TITLES[one.column])} {futures.sure(one)}." for one in moved[:3])
    return Page(
        name=tr(answer.name),
        verdict=told or (tr("Nothing changes that can be told."),),
        effects=rows,
        figures=tuple(_both(column, answer.weeks[column], answer.on) for column in STREAMS if column in answer.weeks),
        members=answer.members,
        days=answer.days,
        notes=tuple(words.reason(one) for one in answer.notes),
        heads=tuple(map(tr, HEADS)),
    )


def _both(column: str, weeks: tuple[Week, ...], on: date) -> Both:
    title = tr(futures.TITLES[column])
    lows = [min(week.planned.low, week.changed.low) for week in weeks]
    highs = [max(week.planned.high, week.changed.high) for week in weeks]
    lowest = min(lows) if column in FREE else 0.0
    span = max(highs) - lowest  # both panels cover the same, so that they can be laid beside each other
    unit = ", ".join(filter(None, (title, tr(UNITS[column]))))

    def panel(head: str, name: str, other: bool) -> Panel:
        bands = [getattr(week, name) for week in weeks]
        last = say("{range} on {day}", range=futures.ends(bands[-1]), day=words.day(weeks[-1].on))
        series = _series(weeks, bands, STREAMS[column], other)
        free = name == "difference"
        chart = draw.Chart(
            unit=say("{unit}, changed less planned", unit=unit) if free else unit,
            summary=f"{title}, {head}: {last}.",
            series=(series,),
            today=on,
            lowest=0.0 if free else lowest,
            least_span=0.0 if free else span,
        )
        return Panel(head, mark_safe(draw.line_chart(chart, half=True)))

    rows = tuple(
        (words.day(week.on), *(futures.ends(band) for band in (week.planned, week.changed, week.difference)))
        for week in weeks
    )
    panels = panel(tr("as planned"), "planned", False), panel(tr("changed"), "changed", True)
    return Both(column, title, panels, panel(tr("difference"), "difference", False), rows)


def _series(weeks: tuple[Week, ...], bands: list[Band], stream: draw.spec.Stream, other: bool) -> draw.Series:
    return draw.Series(
        days=[week.on for week in weeks],
        median=[band.middle for band in bands],
        low80=[band.low for band in bands],
        high80=[band.high for band in bands],
        stream=stream,
        other=other,
    )
