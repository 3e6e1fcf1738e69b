"""Room for plants on the page: the drawing, the table, and why the two views differ."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import nan

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.facts.loops import FeedRateBand
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Room
from rillbed.plan.beds.year import RoomWeek
from rillbed.plan.planting import room_reasons
from rillbed.tongue import tr
from rillbed.words import beds as said
from rillbed.words.numbers import number, say

MOST_BEDS = 3.0  # room beyond so many times the beds is cut in the drawing


def picture(weeks: tuple[RoomWeek, ...], system: System, crop: str, on: date) -> SafeString | None:
    """Draw both views over the year; room far beyond the beds is cut."""
    known = list(weeks)
    if not known:
        return None
    days = [week.start for week in known]
    top = MOST_BEDS * system.bed_area_m2

    def cut(values: list[float]) -> list[float]:
        return [min(value, top) for value in values]

    rule = draw.Series(
        days, cut([sum(w.rule_m2) / 2 for w in known]), cut([w.rule_m2[0] for w in known]),
        cut([w.rule_m2[1] for w in known]),
        stream="fish", label=tr("feed rule"),
    )  # fmt: skip
    balance = draw.Series(days, cut([w.steady_m2 for w in known]), stream="plant", label=tr("nitrogen, for good"))
    batch = draw.Series(
        days,
        cut([nan if w.next_m2 is None else w.next_m2 for w in known]),
        stream="water",
        label=tr("next batch"),
        other=True,
    )
    chart = draw.Chart(
        unit=say("m² of {crop}", crop=said.crop(crop)),
        summary=f"{tr('Room over the coming year by both views.')} {now(known[0])}",
        series=(rule, balance, batch), limits=(draw.Limit(system.bed_area_m2, tr("all beds")),), today=on,
    )  # fmt: skip
    return mark_safe(draw.line_chart(chart))


def now(week: RoomWeek) -> str:
    """Say the room of one week by both views."""
    low, high = number(week.rule_m2[0]), number(week.rule_m2[1])
    batch, good = number(week.next_m2 or 0.0), number(week.steady_m2)
    return say(
        "Now the next batch has {batch} m², nitrogen keeps {good} for good, the feed rule {low} to {high}.",
        batch=batch, good=good, low=low, high=high,
    )  # fmt: skip


def columns(weeks: Sequence[RoomWeek]) -> tuple[str, ...]:
    """Head the table: one column for each element that could be kept up besides what the shelf brings."""
    with_each = tuple(
        say("next batch with {element} kept up, m²", element=words.quantity(name)) for name in _added(weeks)
    )
    first = tr("Week of"), tr("next batch, m²"), tr("binds")
    return (*first, *with_each, tr("for good, m²"), tr("feed rule, m²"), tr("season"))


def rows(weeks: Sequence[RoomWeek]) -> tuple[tuple[str, ...], ...]:
    """Give every week as the table has it."""
    added = _added(weeks)
    return tuple(
        (
            words.day(week.start), _area(week.next_m2),
            "–" if week.binding is None else words.quantity(week.binding),
            *(_area(week.with_m2.get(name)) for name in added), _area(week.steady_m2),
            f"{_area(week.rule_m2[0])}–{_area(week.rule_m2[1])}", tr("not in season") if week.refused else "",
        )
        for week in weeks
    )  # fmt: skip


def why(room: Room | None, band: FeedRateBand) -> tuple[str, ...]:
    """Say why the views differ by the rule somebody chose, and what must be added; areas stand in the drawing alone."""
    if room is None:
        return ()
    nitrogen = room.rule_n_g_m2_day[0] / room.rule_band_g_m2_day[0]  # g in a gram of the loop's feed
    low, high = band.low_g_m2_day, band.high_g_m2_day
    chosen = {"low": low, "high": high, "n_low": low * nitrogen, "n_high": high * nitrogen}
    out = []
    for item in room_reasons(room):
        if item.code == "room.differ":
            out.append(words.reason(Reason(item.code, {**item.values, **chosen})))
        elif item.code == "room.supplement":
            out.append(words.reason(item))
    return tuple(out)


def outgrown(room: Room | None) -> str:
    """Say when nitrate outgrows the beds, and what takes it up; nothing where it does not."""
    if room is None or room.outgrown is None:
        return ""
    return next(words.reason(item) for item in room_reasons(room) if item.code == room.outgrown.code)


def _added(weeks: Sequence[RoomWeek]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for week in weeks for name in week.with_m2))


def _area(value: float | None) -> str:
    return "–" if value is None else number(value)
