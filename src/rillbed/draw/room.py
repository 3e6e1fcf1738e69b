"""Rival views side by side: one horizontal I-bar for each, on one axis, value at the right."""

from __future__ import annotations

import math
from collections.abc import Callable

from rillbed.draw.axes import finite, tick_name
from rillbed.draw.spec import Room, View
from rillbed.draw.svg import HALF, NARROW, Size, line, picture, round_ticks, tag, text, wide

ROW = 33.0


def room(spec: Room) -> str:
    """Both widths. On the narrow one the label stands above its bar."""
    return _draw(spec, HALF) + _draw(spec, NARROW)


def _draw(spec: Room, size: Size) -> str:
    narrow = size is NARROW
    row, top = (ROW + 16 if narrow else ROW), 44.0
    values = max((wide(v.value, size) for v in spec.views), default=0) * 1.08 + 12
    left = 4.0 if narrow else max((wide(v.label, size) for v in spec.views), default=0) + 14
    right = size.width - values
    numbers = finite([x for v in spec.views for x in (v.low, v.high)] + [spec.mark or 0.0, 0.0])
    high = spec.top if spec.top is not None else max(numbers)
    ticks = _ticks(high, right - left, size)
    bottom = top + row * len(spec.views)

    def at(value: float) -> float:
        return left + min(max(value, 0.0), ticks[-1]) / ticks[-1] * (right - left)

    body = [text(0, 14, spec.unit, "tx")]
    for i, t in enumerate(ticks):
        body.append(line("gr" if i else "ax", at(t), top, at(t), bottom))
        body.append(text(at(t), bottom + 18, tick_name(t, ticks), "tx", "middle" if i or not narrow else "start"))
    if spec.mark is not None and math.isfinite(spec.mark):
        x = at(spec.mark)
        ticks_d = "".join(f"M{x:.1f} {top + 4 + 10 * k:.1f}h6" for k in range(int((bottom - top) // 10)))
        side = "end" if x > size.width / 2 else "start"
        body += [line("bank", x, top - 4, x, bottom), tag("path", "bank-k", d=ticks_d)]
        body.append(text(x, top - 9, spec.mark_label, "lb", side))
    for i, view in enumerate(spec.views):
        y = top + row * i + (32 if narrow else row / 2)
        body += _bar(view, y, at, ticks[-1])
        body.append(
            text(
                left + 6 if narrow else left - 10,
                y - 14 if narrow else y + 4.5,
                view.label,
                "lb hal",
                "start" if narrow else "end",
            )
        )
        body.append(text(size.width, y + 4.5, view.value, "nm", "end"))
    return picture(size, bottom + 24, spec.summary, body)


def _ticks(high: float, room: float, size: Size) -> list[float]:
    """Give round values whose names do not run into each other; long names of rows leave little room."""
    for most in range(2 if size is NARROW else 4, 0, -1):
        ticks = round_ticks(0.0, high, most)
        if (wide(tick_name(ticks[-1], ticks), size) + 8) * (len(ticks) - 1) <= room:
            break
    return ticks


def _bar(view: View, y: float, at: Callable[[float], float], top: float) -> list[str]:
    """Draw an I-bar; an unknown or endless upper end becomes an arrow at the edge."""
    if not math.isfinite(view.low):
        return []
    x1 = at(view.low)
    open_end = not math.isfinite(view.high) or view.high > top
    x2 = at(top if open_end else view.high)
    if x2 - x1 < 3:
        x1, x2 = x1 - 1.5, x2 + 1.5
    d = f"M{x1:.1f} {y:.1f}H{x2:.1f}M{x1:.1f} {y - 5:.1f}v10"
    d += (
        f"M{x2 - 6:.1f} {y - 4:.1f}L{x2:.1f} {y:.1f}L{x2 - 6:.1f} {y + 4:.1f}"
        if open_end
        else f"M{x2:.1f} {y - 5:.1f}v10"
    )
    return [tag("path", "obs binds" if view.binds else "obs", d=d)]
