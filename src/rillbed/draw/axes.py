"""Where a value and a day land on the picture."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from rillbed.draw.spec import Chart
from rillbed.draw.svg import Size, round_ticks, wide
from rillbed.tongue import current


@dataclass(frozen=True)
class Plane:
    """Plot rectangle in px with the days and values at its sides."""

    left: float
    right: float
    top: float
    bottom: float
    first: date
    last: date
    ticks: list[float]

    def x(self, day: date) -> float:
        """Px of a day."""
        return self.left + (day - self.first).days / max(1, (self.last - self.first).days) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Px of a value, kept inside the plot."""
        low, high = self.ticks[0], self.ticks[-1]
        return self.bottom - (min(max(value, low), high) - low) / (high - low) * (self.bottom - self.top)


def finite(values: Iterable[float | None]) -> list[float]:
    """Only the numbers that can be drawn."""
    return [v for v in values if v is not None and math.isfinite(v)]


def plane(chart: Chart, size: Size, top: float, height: float) -> Plane:
    """Fit the plane to the data, readings and limits; end labels get a right margin."""
    values = finite(v for s in chart.series for edge in (s.median, s.low80, s.high80, s.low50, s.high50) for v in edge)
    values += finite(v for r in chart.readings for v in (r.low, r.high))
    values += finite(x.value for x in chart.limits)
    if chart.lowest is not None:
        values.append(chart.lowest)
    ticks = round_ticks(*_ends(values, chart)) if values else [0.0, 1.0]
    labels = [wide(s.label, size) for s in chart.series if s.label]
    margin = max(labels) + 10 if labels else 8
    left = max(wide(tick_name(t, ticks), size) for t in ticks) + 10
    days = chart.days()
    right = max(left + 0.5 * size.width, size.width - margin)
    return Plane(left, right, top, top + height, days[0], days[-1], ticks)


def _ends(values: list[float], chart: Chart) -> tuple[float, float]:
    low, high = min(values), max(values)
    short = max(0.0, chart.least_span - (high - low))
    # Where zero is shown the axis grows upward; else to both sides.
    below = 0.0 if chart.lowest is not None else short / 2
    return low - below, high + short - below


def tick_name(value: float, ticks: list[float]) -> str:
    """Text of a tick: no more decimals than the step needs, thousands grouped, true minus."""
    step = ticks[1] - ticks[0]
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    return current().number(f"{value:,.{places}f}").replace("-", "\u2212")
