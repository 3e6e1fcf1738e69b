"""Completion date as twenty dots: each is one chance in twenty, hollow outside the 8-in-10 range."""

from __future__ import annotations

from datetime import date, timedelta

from rillbed.draw.spec import Dots
from rillbed.draw.svg import HALF, NARROW, Size, date_ticks, day_name, line, picture, tag, text, wide
from rillbed.tongue import tr


def dots(spec: Dots) -> str:
    """Both widths of the twenty dots. The first and last two of twenty lie outside the 8-in-10 range."""
    return _draw(spec, HALF) + _draw(spec, NARROW)


def _draw(spec: Dots, size: Size) -> str:
    known = sorted(d for d in spec.days if d is not None)
    late = len(spec.days) - len(known)
    body = [text(0, 14, spec.title, "tx")]
    anchors = known + ([spec.today] if spec.today else [])
    if not anchors:
        return picture(size, 44, spec.summary, [*body, text(0, 36, f"{late} × {tr(spec.beyond)}", "lb")])
    r = 8.0 if size is not NARROW else 5.5
    first, last = min(anchors), max(anchors)
    left = r + 2 + (wide(tr(spec.today_label), size) / 2 if spec.today else 0)
    right = size.width - r - 2 - (wide(tr(spec.beyond), size) + 12 if late else 0)
    days = max(1, (last - first).days)
    bin_days = max(1, -(-int(days * (2 * r + 2)) // int(right - left)))  # as few days a column as dots have room for
    columns: dict[int, list[bool]] = {}
    edge = len(spec.days) // 10
    for rank, day in enumerate(known):
        far = rank < edge or rank >= len(spec.days) - edge
        columns.setdefault((day - first).days // bin_days, []).append(far)
    tallest = max([late, *map(len, columns.values())], default=1)
    base = 52 + tallest * (2 * r + 2)

    def at(day: float) -> float:
        return left + day / days * (right - left)

    body.append(line("ax", 0, base, size.width, base))
    free = -1e9
    for day in date_ticks(first, last, 3 if size is NARROW else 5):
        name, x = day_name(day), at((day - first).days)
        if x - wide(name, size) / 2 > free and x + wide(name, size) / 2 <= size.width:
            body += [line("ax", x, base, x, base + 5), text(x, base + 20, name, "tx", "middle")]
            free = x + wide(name, size) / 2 + 6
    for column, fars in columns.items():
        x = at(min(days, column * bin_days))
        body += [_dot(x, base - r - 3 - k * (2 * r + 2), r, far) for k, far in enumerate(fars)]
    if late:
        x = size.width - r - 4 - wide(tr(spec.beyond), size) / 2
        body += [_dot(x, base - r - 3 - k * (2 * r + 2), r, late - k <= edge) for k in range(late)]
        body.append(text(size.width, base + 20, tr(spec.beyond), "tx", "end"))
    if spec.today:
        body += _today(spec, at((spec.today - first).days), base, size)
    return picture(size, base + 26, spec.summary, body)


def _dot(x: float, y: float, r: float, far: bool) -> str:
    return tag("circle", "qd far" if far else "qd", cx=x, cy=y, r=r)


def _today(spec: Dots, x: float, base: float, size: Size) -> list[str]:
    w = wide(tr(spec.today_label), size) + 12
    left = min(max(0.0, x - w / 2), size.width - w)
    flag = tag("rect", "now-f", x=left, y=22, width=w, height=19)
    return [line("now", x, 41, x, base), flag, text(left + w / 2, 36, tr(spec.today_label), "now-t", "middle")]


def twenty(quantiles: list[float], start: date) -> tuple[date | None, ...]:
    """Turn day indices (NaN = not within the horizon) into dates for ``Dots.days``.

    >>> twenty([2.0, float("nan")], date(2026, 5, 1))
    (datetime.date(2026, 5, 3), None)
    """
    return tuple(start + timedelta(days=int(q)) if q == q else None for q in quantiles)
