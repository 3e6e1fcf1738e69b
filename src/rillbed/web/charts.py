"""The charts of the year: bands of the forecast with the readings of the log on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw
from rillbed.draw.table import span
from rillbed.garden.state import LoopState
from rillbed.plan.outlook import Outlook
from rillbed.tongue import later, tr
from rillbed.web.origins import origin
from rillbed.web.today.why import Why
from rillbed.words import day, say

SOON_DAYS = 28


@dataclass(frozen=True)
class Kind:
    """What one chart shows: its column of the outlook and, where kits read it, the quantity of the log."""

    key: str
    title: str
    unit: str
    stream: draw.spec.Stream
    column: str
    quantity: str = ""
    digits: int = 2
    lowest: float | None = 0.0
    least_span: float = 0.0  # about what one step of a card is worth looking at


KINDS = (
    Kind("nitrate", later("Nitrate"), later("Nitrate, mg/L as N"), "water", "no3_mg_l", "no3", 1, least_span=10),
    Kind("ammonia", later("Ammonia"), later("Ammonia, mg/L as N"), "life", "tan_mg_l", "tan", least_span=0.5),
    Kind("nitrite", later("Nitrite"), later("Nitrite, mg/L as N"), "life", "no2_mg_l", "no2", least_span=0.5),
    Kind("ph", later("pH"), later("pH"), "water", "ph", "ph", 1, None, least_span=1),
    Kind("fish", later("Weight of one fish"), later("One fish, g"), "fish", "fish_weight_g", "", 0),
    Kind("plants", later("Planted"), later("Planted, m²"), "plant", "plant_area_m2", "", 1),
)


@dataclass(frozen=True)
class Figure:
    """One chart ready for the page: pictures, the sentence with the answer, and the table under it."""

    key: str
    title: str
    answer: str
    picture: SafeString
    table: draw.Table
    why: Why


def figures(outlook: Outlook, state: LoopState, on: date, when: str = "") -> list[Figure]:
    """Return the charts that have something to show: none of fish without fish, of plants without plants.

    `when` says which days they show, such as "{title} over the year ahead.", and is translated already.
    """
    when = when or tr("{title} over the year ahead.")
    return [figure for kind in KINDS if (figure := _figure(kind, outlook, state, on, when)) is not None]


def _figure(kind: Kind, outlook: Outlook, state: LoopState, on: date, when: str) -> Figure | None:
    days = [row.on for row in outlook.rows]
    bands = [row.bands[kind.column] for row in outlook.rows]
    readings = _readings(kind, state, days[0])
    if not readings and not any(math.isfinite(band.high) and band.high > 0 for band in bands):
        return None
    series = draw.Series(
        days=days,
        median=[band.middle for band in bands],
        low80=[band.low for band in bands],
        high80=[band.high for band in bands],
        stream=kind.stream,
    )
    answer = _answer(kind, outlook, on)
    chart = draw.Chart(
        unit=tr(kind.unit),
        summary=f"{when.format(title=tr(kind.title))} {answer}",
        series=(series,),
        readings=tuple(readings),
        today=on,
        table=f"t-{kind.key}",
        lowest=kind.lowest,
        least_span=kind.least_span,
    )
    table = draw.table(
        chart,
        day_header=tr("Day"),
        reading_header=tr("reading"),
        open_high=lambda text: say("{least} or more", least=text),
        open_low=lambda text: say("{most} or less", most=text),
        every=7,
        digits=kind.digits,
    )
    named = draw.Table(
        tuple(tr("8 futures in 10") if head == chart.unit else head for head in table.headers), table.rows
    )
    # Built by `draw` from numbers and escaped words only.
    picture = mark_safe(draw.line_chart(chart, half=True))
    return Figure(kind.key, tr(kind.title), answer, picture, named, origin(kind.column, state))


def _readings(kind: Kind, state: LoopState, since: date) -> Sequence[draw.IntervalReading]:
    out = []
    for timed in state.readings.get(kind.quantity, ()):
        on = state.system.day_of(timed.at)
        if on >= since:
            low, high = timed.reading.interval
            out.append(draw.IntervalReading(on, low, high))
    return out


def _answer(kind: Kind, outlook: Outlook, on: date) -> str:
    """Say where it stands and where it goes, as ranges."""
    told: list[str] = []
    seen: set[date] = set()
    places = (
        (later("{span} today"), on),
        (later("{span} in four weeks"), on + timedelta(days=SOON_DAYS)),
        (later("{span} on {day}"), outlook.rows[-1].on),
    )
    for text, at in places:
        row = next((row for row in outlook.rows if row.on >= at), None)
        if row is not None and row.on not in seen:
            seen.add(row.on)
            band = row.bands[kind.column]
            told.append(tr(text).format(span=span(band.low, band.high, kind.digits), day=day(row.on)))
    return ", ".join(told) + "."
