"""Jobs on an axis of dates: likely between two days, or on one."""

from __future__ import annotations

import math
from datetime import date, timedelta

from rillbed.draw.spec import Span, Weeks
from rillbed.draw.svg import NARROW, WIDE, Size, date_ticks, day_name, line, picture, tag, text, wide
from rillbed.tongue import tr

ROW, TOP, SIDE = 30.0, 46.0, 6.0


def weeks(spec: Weeks) -> str:
    """Both widths. On the narrow one the label stands above its bar."""
    return _draw(spec, WIDE) + _draw(spec, NARROW)


def _draw(spec: Weeks, size: Size) -> str:
    narrow = size is NARROW
    row = ROW + 16 if narrow else ROW
    values = max((wide(s.value, size) for s in spec.spans), default=0.0) * 1.08 + 12
    left = 4.0 + SIDE if narrow else max((wide(s.label, size) for s in spec.spans), default=0.0) + 20
    right = size.width - (SIDE if narrow else values)
    bottom = TOP + row * len(spec.spans)
    end = spec.today + timedelta(days=spec.days)

    def at(day: date) -> float:
        share = (min(max(day, spec.today), end) - spec.today).days / spec.days
        return left + share * (right - left)

    body = []
    days = date_ticks(spec.today, end, 4 if narrow else 7)
    widest = max(wide(day_name(day), size) for day in days)
    # Where not every name has room, every second one is written, or every third.
    every = math.ceil((widest + 6) / (at(days[1]) - at(days[0]))) if len(days) > 1 else 1
    for place, day in enumerate(days):
        name, x = day_name(day), at(day)
        body.append(line("gr", x, TOP - 8, x, bottom))
        if place % every == 0 and x + wide(name, size) / 2 <= size.width:
            body.append(text(x, bottom + 20, name, "tx", "middle"))
    w = wide(tr(spec.today_label), size) + 12
    flag = min(max(0.0, at(spec.today)), size.width - w)
    body += [
        line("now", at(spec.today), TOP - 22, at(spec.today), bottom),
        tag("rect", "now-f", x=flag, y=TOP - 40, width=w, height=19),
        text(flag + w / 2, TOP - 26, tr(spec.today_label), "now-t", "middle"),
    ]
    for i, span in enumerate(spec.spans):
        y = TOP + row * i + (32 if narrow else row / 2)
        body += _bar(span, y, at(span.first), at(span.last))
        if narrow:
            body.append(text(left, y - 14, span.label, "lb hal"))
            body.append(text(size.width, y - 14, span.value, "nm hal", "end"))
        else:
            body.append(text(left - 14, y + 4.5, span.label, "lb", "end"))
            body.append(text(size.width, y + 4.5, span.value, "nm", "end"))
    return picture(size, bottom + 26, spec.summary, body)


def _bar(span: Span, y: float, a: float, b: float) -> list[str]:
    if span.first == span.last:
        return [tag("rect", "due", x=a - SIDE, y=y - SIDE, width=2 * SIDE, height=2 * SIDE)]
    b = max(b, a + 2.0)
    return [tag("path", "obs", d=f"M{a:.1f} {y:.1f}H{b:.1f}M{a:.1f} {y - 6:.1f}v12M{b:.1f} {y - 6:.1f}v12")]
