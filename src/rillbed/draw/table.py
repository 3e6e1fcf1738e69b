"""The words under a chart: headers and rows of text, no tags. The read-out speaks from these rows."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date

from rillbed.draw.spec import Chart, IntervalReading, Table, TableRow
from rillbed.draw.svg import day_name
from rillbed.tongue import current

GAP = "–"


def span(low: float, high: float, digits: int = 2) -> str:
    """Write a range that never breaks at its dash; a missing value is a dash alone.

    >>> span(0.5, 1.25).replace(chr(0x2060), "")
    '0.5–1.25'
    """
    if not (math.isfinite(low) and math.isfinite(high)):
        return GAP
    a, b = short(low, digits), short(high, digits)
    return a if a == b else f"{a}\u2060–\u2060{b}"


def short(value: float, digits: int = 2) -> str:
    """Write a number with at most ``digits`` decimals, no trailing zeros, true minus."""
    out = f"{value:,.{digits}f}"
    out = out.rstrip("0").rstrip(".") if "." in out else out
    return "0" if out in ("-0", "") else current().number(out).replace("-", "\u2212")


def table(
    chart: Chart,
    *,
    day_header: str,
    reading_header: str,
    open_high: Callable[[str], str],
    open_low: Callable[[str], str],
    every: int = 1,
    digits: int = 2,
) -> Table:
    """Rows for the chart: one column a series (its 8-in-10 range, else its median) and one for readings.

    ``every`` keeps each n-th day, the last day, today and each day with a reading. ``open_high`` and ``open_low`` put
    an open end into words ("5 or more").
    """
    first = chart.first_day
    headers = (
        day_header,
        *(s.label or chart.unit for s in chart.series),
        *((reading_header,) if chart.readings else ()),
    )
    if first is None:
        return Table(headers)
    read: dict[date, list[str]] = {}
    for r in chart.readings:
        read.setdefault(r.day, []).append(_reading(r, open_high, open_low, digits))
    columns = []
    for s in chart.series:
        banded = len(s.low80) > 0 and len(s.high80) > 0
        low, high = (s.low80, s.high80) if banded else (s.median, s.median)
        columns.append({d: span(float(low[i]), float(high[i]), digits) for i, d in enumerate(s.days)})
    days = chart.days()
    kept = [d for i, d in enumerate(days) if i % max(1, every) == 0 or d in read or d in (chart.today, days[-1])]
    rows = []
    for d in kept:
        cells = [day_name(d), *(c.get(d, GAP) for c in columns)]
        if chart.readings:
            cells.append(", ".join(read.get(d, [GAP])))
        rows.append(TableRow((d - first).days, tuple(cells)))
    return Table(headers, tuple(rows))


def _reading(r: IntervalReading, open_high: Callable[[str], str], open_low: Callable[[str], str], digits: int) -> str:
    if r.low is None and r.high is None:
        return GAP
    if r.low is None:
        return open_low(short(r.high or 0.0, digits))
    return open_high(short(r.low, digits)) if r.high is None else span(r.low, r.high, digits)
