"""Where a day's nitrogen goes: streams as wide as their grams, split twice from left to right."""

from __future__ import annotations

import math

from rillbed.draw.spec import Flow, NitrogenFlow
from rillbed.draw.svg import HALF, NARROW, Size, picture, spread, tag, text

PX_PER_G = 28.0
HALFST = 150.0
EDGE = 52.0  # the branches before the water end above and below everything else


def flow(spec: NitrogenFlow) -> str:
    """Both widths of the nitrogen picture. 28 px per gram, less if the day would be wider than 150 px."""
    return _draw(spec, HALF) + _draw(spec, NARROW)


def _grams(item: Flow) -> float:
    return item.g_n_day if math.isfinite(item.g_n_day) and item.g_n_day > 0 else 0.0


def scale(spec: NitrogenFlow) -> float:
    """Px per gram for this day."""
    widest = max(_grams(spec.source), sum(map(_grams, spec.before)) + _grams(spec.water))
    return min(PX_PER_G, HALFST / widest) if widest > 0 else PX_PER_G


def _draw(spec: NitrogenFlow, size: Size) -> str:
    k = scale(spec)
    c = [0.0, 0.18, 0.42, 0.56, 0.72] if size is not NARROW else [0.0, 0.2, 0.42, 0.54, 0.64]
    x = [size.width * part for part in c]
    inner = [*spec.before[:1], spec.water, *spec.before[1:]]
    heights = [_grams(i) * k for i in inner]
    outs = [_grams(i) * k for i in spec.after]
    total = sum(heights)
    height = max(total + 4 * EDGE, sum(outs) + 38 * len(outs) + 2 * EDGE)
    top = (height - total) / 2
    fed = _grams(spec.source) * k
    body = _band(spec.source, x[0], x[1], (height - fed) / 2, (height - fed) / 2, fed, False)
    body += _words(spec.source, x[0] + (10 if fed > 44 else 0), _label_y(height, fed), "start")
    # First split: each branch leaves in order; the water keeps to the middle, the others move out.
    at = top
    ends = _outer(heights, inner.index(spec.water), height)
    water_y = 0.0
    for item, h, end in zip(inner, heights, ends, strict=True):
        through = item is spec.water
        body += _band(item, x[1], x[2], at, end, h, not through)
        at += h
        if through:
            water_y = end
        else:
            body += _words(item, x[2] + 16, end + h / 2, "start")
    hw = _grams(spec.water) * k
    body += _band(spec.water, x[2], x[3], water_y, water_y, hw, False)
    at = water_y
    after_ends = [EDGE + y for y in _apart(outs, height - 2 * EDGE)]
    for item, h, end in zip(spec.after, outs, after_ends, strict=True):
        body += _band(item, x[3], x[4], at, end, h, True)
        at += h
        body += _words(item, x[4] + 16, end + h / 2, "start")
    middle = (x[1] + x[3]) / 2
    body += _words(spec.water, middle, water_y + hw / 2 if hw > 44 else water_y + hw + 24, "middle")
    return picture(size, height, spec.summary, body)


def _label_y(height: float, thick: float) -> float:
    return height / 2 if thick > 44 else height / 2 + thick / 2 + 24


def _outer(heights: list[float], water: int, height: float) -> list[float]:
    """Tops of the first split: the water in the middle, what leaves before it stacked at the upper and lower edge."""
    ends = [(height - heights[water]) / 2] * len(heights)
    at = 6.0
    for i in range(water):
        ends[i] = at
        at += max(heights[i], 38) + 4
    at = height - 6.0
    for i in range(len(heights) - 1, water, -1):
        ends[i] = at - max(heights[i], 38) / 2 - heights[i] / 2
        at -= max(heights[i], 38) + 4
    return ends


def _apart(heights: list[float], height: float) -> list[float]:
    """Tops of the branch ends: spread over the height with room for two lines of text each."""
    if not heights:
        return []
    free = (height - sum(heights)) / (len(heights) + 1)
    tops, at = [], free
    for h in heights:
        tops.append(at)
        at += h + free
    return [
        m - h / 2
        for m, h in zip(
            spread([t + h / 2 for t, h in zip(tops, heights, strict=True)], 38, 20, height - 20), heights, strict=True
        )
    ]


def _band(item: Flow, x1: float, x2: float, y1: float, y2: float, thick: float, tip: bool) -> list[str]:
    """Draw a stream; a tip points out of the picture. Nothing flows, nothing is drawn."""
    if thick <= 0:
        return []
    m = (x1 + x2) / 2
    name = "air" if item.stream == "gas" else item.stream
    nose = f"L{x2 + min(12, thick / 3 + 4):.1f} {y2 + thick / 2:.1f}L{x2:.1f} {y2 + thick:.1f}"
    upper = f"M{x1:.1f} {y1:.1f}C{m:.1f} {y1:.1f} {m:.1f} {y2:.1f} {x2:.1f} {y2:.1f}"
    back = f"C{m:.1f} {y2 + thick:.1f} {m:.1f} {y1 + thick:.1f} {x1:.1f} {y1 + thick:.1f}"
    bank = nose if tip else f"M{x2:.1f} {y2 + thick:.1f}"
    fill = nose if tip else f"L{x2:.1f} {y2 + thick:.1f}"
    return [
        tag("path", f"st st-{name}", d=f"{upper}{fill}{back}Z"),
        tag("path", f"se se-{name}", d=upper + bank + back),
    ]


def _words(item: Flow, x: float, y: float, anchor: str) -> list[str]:
    return [text(x, y - 3, item.label, "lb", anchor), text(x, y + 15, item.value, "nm", anchor)]
