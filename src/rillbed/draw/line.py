"""A line over dates: bands, readings, banks, letters and today, drawn at one of two widths."""

from __future__ import annotations

import math
from datetime import date
from html import escape

from rillbed.draw.axes import Plane, finite, plane, tick_name
from rillbed.draw.spec import Chart, IntervalReading, Limit, Numbers, Series
from rillbed.draw.svg import (
    HALF,
    NARROW,
    WIDE,
    Size,
    date_ticks,
    day_name,
    line,
    path,
    picture,
    spread,
    tag,
    text,
    wide,
)
from rillbed.tongue import tr

HEIGHT = {NARROW.name: 190.0, WIDE.name: 210.0}
TOP = 64.0
FOOT = 26.0


def line_chart(chart: Chart, half: bool = False) -> str:
    """Both widths of the chart, one after the other; the style sheet shows one.

    Parameters
    ----------
    chart : Chart
    half : bool
        True where the picture gets half a page on a desktop: 470 px instead of 640.

    Returns
    -------
    str
        Two ``svg`` elements with classes only: no style, id or script.
    """
    return one_width(chart, HALF if half else WIDE) + one_width(chart, NARROW)


def one_width(chart: Chart, size: Size) -> str:
    """Draw the chart at one width."""
    if not chart.days():
        return picture(size, 64, chart.summary, [text(0, 14, chart.unit, "tx"), text(0, 42, tr(chart.nothing), "lb")])
    p = plane(chart, size, TOP, HEIGHT[size.name])
    body = [text(0, 14, chart.unit, "tx"), *_axes(chart, p, size)]
    for s in chart.series:
        body += _bands(s, p, chart.today)
    for s in chart.series:
        body += _median(s, p, chart.today)
    for limit in chart.limits:
        body += _bank(limit, p)
    for reading in chart.readings:
        body += _reading(reading, p)
    body += _events(chart, p) + _today(chart, p, size)
    body += _limit_labels(chart, p, size) + _end_labels(chart, p, size)
    body.append(line("cur", p.left, p.top, p.left, p.bottom))
    extra = f' tabindex="0" data-l="{p.left:.1f}" data-r="{p.right:.1f}" data-x0="0"'
    extra += f' data-x1="{max(1, (p.last - p.first).days)}" data-table="{escape(chart.table)}"'
    return picture(size, p.bottom + FOOT, chart.summary, body, extra if chart.table else "")


def _axes(chart: Chart, p: Plane, size: Size) -> list[str]:
    out = []
    for i, t in enumerate(p.ticks):
        out.append(line("gr" if i else "ax", p.left, p.y(t), p.right, p.y(t)))
        out.append(text(p.left - 8, p.y(t) + size.text / 3, tick_name(t, p.ticks), "tx", "end"))
    free = -1e9
    for day in date_ticks(p.first, p.last, 3 if size is NARROW else 6):
        name = f"{tr(chart.day_label)} {(day - p.first).days}" if chart.day_label else day_name(day)
        half = wide(name, size) / 2
        x = min(max(p.x(day), half), size.width - half)
        if x - half > free:
            out += [line("ax", p.x(day), p.bottom, p.x(day), p.bottom + 5)]
            out += [text(x, p.bottom + 20, name, "tx", "middle")]
            free = x + half + 6
    return out


def _runs(s: Series, *edges: Numbers) -> list[list[int]]:
    """Stretches of days on which every given edge is a number."""
    runs: list[list[int]] = [[]]
    for i in range(len(s.days)):
        if all(math.isfinite(e[i]) for e in edges):
            runs[-1].append(i)
        elif runs[-1]:
            runs.append([])
    return [r for r in runs if r]


def _bands(s: Series, p: Plane, today: date | None) -> list[str]:
    out = []
    for cls, low, high in (("b80", s.low80, s.high80), ("b50", s.low50, s.high50)):
        if not (len(low) and len(high)):
            continue
        for run in _runs(s, low, high):
            up = [(p.x(s.days[i]), p.y(high[i])) for i in run]
            down = [(p.x(s.days[i]), p.y(low[i])) for i in run]
            if len(run) == 1:  # one day still deserves a visible width
                up, down = [(x + d, y) for x, y in up for d in (-3, 3)], [(x + d, y) for x, y in down for d in (-3, 3)]
            out.append(path(f"{cls} {s.stream}", up + down[::-1], close=True))
            ahead = [k for k, i in enumerate(run) if today is None or s.days[i] >= today]
            if cls == "b80" and len(ahead) > 1:
                out += [path(f"edge {s.stream}", [side[k] for k in ahead]) for side in (up, down)]
    return out


def _median(s: Series, p: Plane, today: date | None) -> list[str]:
    out = []
    for run in _runs(s, s.median):
        points = [(s.days[i], (p.x(s.days[i]), p.y(s.median[i]))) for i in run]
        if len(points) == 1:
            out.append(tag("circle", f"med {s.stream}", cx=points[0][1][0], cy=points[0][1][1], r=3))
            continue
        past = [xy for d, xy in points if today is None or d <= today]
        future = [xy for d, xy in points if today is not None and d >= today]
        if past and future and past[-1] != future[0]:
            future.insert(0, past[-1])
        if len(past) > 1:
            out.append(path(f"med {s.stream}", past))
        if len(future) > 1:
            out.append(path(f"med {'alt' if s.other else 'fut'} {s.stream}", future))
    return out


def _bank(limit: Limit, p: Plane) -> list[str]:
    if not finite([limit.value]):
        return []
    cls, y = ("binds" if limit.binds else ""), p.y(limit.value)
    way = -6 if limit.forbidden == "above" else 6
    count = int((p.right - p.left) // 12)
    ticks = "".join(f"M{p.left + 6 + 12 * k:.1f} {y:.1f}v{way}" for k in range(count))
    return [line(f"bank {cls}".strip(), p.left, y, p.right, y), tag("path", "bank-k", d=ticks)]


def _reading(r: IntervalReading, p: Plane) -> list[str]:
    """Draw an I-bar; an open end runs to the edge of the plot and ends in an arrow."""
    ends = finite([r.low, r.high])
    if not ends:
        return []
    x = p.x(r.day)
    low = p.bottom - 2 if r.low is None else p.y(r.low)
    high = p.top + 2 if r.high is None else p.y(r.high)
    if abs(low - high) < 3:  # a kit this fine would vanish
        low, high = low + 1.5, high - 1.5
    foot = f"M{x - 4:.1f} {low - 6:.1f}L{x:.1f} {low:.1f}L{x + 4:.1f} {low - 6:.1f}"
    head = f"M{x - 4:.1f} {high + 6:.1f}L{x:.1f} {high:.1f}L{x + 4:.1f} {high + 6:.1f}"
    d = f"M{x:.1f} {low:.1f}V{high:.1f}"
    d += foot if r.low is None else f"M{x - 3.5:.1f} {low:.1f}h7"
    d += head if r.high is None else f"M{x - 3.5:.1f} {high:.1f}h7"
    out = [tag("path", "obs odd" if r.odd else "obs", d=d)]
    if r.odd:
        y = (low + high) / 2
        out.append(path("odd-m", [(x, y - 6), (x + 6, y), (x, y + 6), (x - 6, y)], close=True))
    if r.label:
        side = "end" if x > (p.left + p.right) / 2 else "start"
        out.append(text(x + (-9 if side == "end" else 9), max(high + 10, p.top + 10), r.label, "lb hal", side))
    return out


def _events(chart: Chart, p: Plane) -> list[str]:
    """Letters stand in one row; those too close step aside, the stem keeps the true day."""
    out: list[str] = []
    events = sorted(chart.events, key=lambda e: e.day)
    places = spread([p.x(e.day) for e in events], 21, p.left, p.right)
    for e, x in zip(events, places, strict=True):
        out.append(path("ev-s", [(x, p.top - 2), (p.x(e.day), p.top + 8), (p.x(e.day), p.bottom)]))
        out.append(tag("circle", "ev", cx=x, cy=p.top - 10, r=9.5))
        out.append(text(x, p.top - 5.5, e.letter, "ev-t", "middle"))
    return out


def _today(chart: Chart, p: Plane, size: Size) -> list[str]:
    if chart.today is None:
        return []
    x, w = p.x(chart.today), wide(tr(chart.today_label), size) + 12
    left = min(max(x - w / 2, p.left if x - w / 2 < p.left else 0), size.width - w)
    flag = tag("rect", "now-f", x=left, y=TOP - 40, width=w, height=19)
    out = [line("now", x, TOP - 21, x, p.bottom)]
    return [*out, flag, text(left + w / 2, TOP - 26, tr(chart.today_label), "now-t", "middle")]


def _limit_labels(chart: Chart, p: Plane, size: Size) -> list[str]:
    kept = [x for x in chart.limits if x.label and finite([x.value])]
    ys = [p.y(x.value) + (size.text + 4 if x.forbidden == "above" else -6) for x in kept]
    ys = spread(ys, size.text + 3, p.top + size.text, p.bottom - 4)
    return [text(p.left + 6, y, x.label, "lb hal") for x, y in zip(kept, ys, strict=True)]


def _end_labels(chart: Chart, p: Plane, size: Size) -> list[str]:
    kept = [(s, finite(s.median)[-1]) for s in chart.series if s.label and finite(s.median)]
    ys = spread([p.y(v) + size.text / 3 for _, v in kept], size.text + 3, p.top + size.text, p.bottom)
    return [text(p.right + 6, y, s.label, f"lb hal t-{s.stream}") for (s, _), y in zip(kept, ys, strict=True)]
