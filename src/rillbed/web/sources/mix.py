"""How the grades are mixed: a row of frames as wide as their count; the frame weakens as the evidence does."""

from __future__ import annotations

from collections.abc import Mapping

from rillbed.draw.svg import NARROW, WIDE, Size, picture, tag, text, wide
from rillbed.web.sources.figures import GRADES

GAP = 6.0
HEIGHT = 42.0


def frames(counts: Mapping[str, int], summary: str) -> str:
    """Both widths of the row of frames; a grade without entries is left out."""
    return _frames(counts, summary, WIDE) + _frames(counts, summary, NARROW)


def _frames(counts: Mapping[str, int], summary: str, size: Size) -> str:
    shown = [(grade, counts[grade]) for grade in GRADES if counts.get(grade)]
    if not shown:
        return ""
    free = size.width - GAP * (len(shown) - 1)
    # Never so narrow that its own count does not fit; the wider ones give the room.
    least = [wide(str(count), size) + 12 for _, count in shown]
    total = sum(count for _, count in shown)
    spare = max(0.0, free - sum(least))
    x, body = 0.0, []
    for (grade, count), room in zip(shown, least, strict=True):
        width = room + spare * count / total
        body += _frame(GRADES[grade][0], x, width)
        body.append(text(x + width / 2, 25, str(count), "nm", "middle"))
        x += width + GAP
    return picture(size, HEIGHT, summary, body)


def _frame(style: str, x: float, width: float) -> list[str]:
    outer = tag("rect", f"gm {style}".strip(), x=x + 1, y=1, width=width - 2, height=HEIGHT - 4)
    if style != "out":
        return [outer]
    return [outer, tag("rect", "gm", x=x + 5, y=5, width=width - 10, height=HEIGHT - 12)]
