"""Small pieces every picture shares: escaping, numbers, tags, widths of text, round ticks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from html import escape
from itertools import pairwise

from rillbed.tongue import current


@dataclass(frozen=True)
class Size:
    """One of the two drawn widths; the style sheet shows one at a time."""

    width: int
    text: float
    name: str


NARROW = Size(340, 14.0, "c-narrow")
WIDE = Size(640, 13.5, "c-wide")
HALF = Size(470, 13.5, "c-wide")  # for half a page: 640 px would shrink its text below 12 px there


def num(value: float) -> str:
    """Coordinate with at most one decimal."""
    return (
        f"{value:.1f}".removesuffix(".0").replace("-0", "0") if abs(value) < 0.05 else f"{value:.1f}".removesuffix(".0")
    )


def tag(name: str, cls: str, **attributes: float | str) -> str:
    """Self-closing element; underscores in attribute names become dashes."""
    parts = "".join(
        f' {k.replace("_", "-")}="{num(v) if isinstance(v, (int, float)) else escape(v)}"'
        for k, v in attributes.items()
    )
    return f'<{name} class="{cls}"{parts}/>'


def text(x: float, y: float, words: str, cls: str, anchor: str = "start") -> str:
    """Text element with escaped words."""
    side = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="{cls}" x="{num(x)}" y="{num(y)}"{side}>{escape(words)}</text>'


def line(cls: str, x1: float, y1: float, x2: float, y2: float) -> str:
    """Straight line."""
    return tag("line", cls, x1=x1, y1=y1, x2=x2, y2=y2)


def path(cls: str, points: list[tuple[float, float]], close: bool = False) -> str:
    """Polyline, or polygon if closed."""
    # Steps from point to point, in whole tenths so that nothing adds up: half as long as places, and packed a third.
    tenths = [(round(10 * x), round(10 * y)) for x, y in points]
    steps = ((x - x0, y - y0) for (x0, y0), (x, y) in pairwise(tenths))
    begin = " ".join(num(value / 10) for value in tenths[0])
    body = "".join(f"l{num(x / 10)} {num(y / 10)}" for x, y in steps)
    return tag("path", cls, d=f"M{begin}{body}{'Z' if close else ''}")


def picture(size: Size, height: float, summary: str, body: list[str], extra: str = "") -> str:
    """Wrap the body in an svg that says what it shows."""
    label = escape(summary)
    return (
        f'<svg class="chart {size.name}" viewBox="0 0 {size.width} {num(height)}" role="img" '
        f'aria-label="{label}"{extra}>{"".join(body)}</svg>'
    )


def wide(words: str, size: Size) -> float:
    """Estimated width of a text in px: 0.58 of the text size a letter, a little more than a sans face needs."""
    return 0.58 * size.text * len(words)


def round_ticks(low: float, high: float, most: int = 5) -> list[float]:
    """Round values from at or below ``low`` to at or above ``high``, at most ``most`` + 2 of them."""
    if not (math.isfinite(low) and math.isfinite(high)):
        low, high = 0.0, 1.0
    if high - low < 1e-9 * max(1.0, abs(high)):
        high = low + (abs(low) * 0.1 or 1.0)
    raw = (high - low) / most
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * 0.999)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(k * step, 12) for k in range(first, last + 1)]


def date_ticks(first: date, last: date, most: int) -> list[date]:
    """Evenly spaced days from ``first``, at most ``most`` + 1."""
    span = max(1, (last - first).days)
    step = max(1, math.ceil(span / most))
    return [first + timedelta(days=k) for k in range(0, span + 1, step) if first + timedelta(days=k) <= last]


def day_name(day: date) -> str:
    """Day and month as the reader writes them, with a no-break space."""
    return current().day(day)


def spread(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Move label heights apart to at least ``gap``, in order, inside ``low``..``high`` while there is room."""
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    placed = [0.0] * len(wanted)
    at = low - gap
    for i in order:
        at = max(wanted[i], at + gap)
        placed[i] = at
    ceiling = high
    for i in reversed(order):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - gap
    return placed
