"""Beds seen from above, to one scale: what stands where takes its share of each, the rest is free."""

from __future__ import annotations

from rillbed.draw.spec import Ground
from rillbed.draw.svg import NARROW, WIDE, Size, picture, tag, text, wide

HIGH, GAP, TOP, MARK = 46.0, 44.0, 22.0, 14.0


def ground(spec: Ground) -> str:
    """Both widths; marks on the patches are told in the list beside it."""
    return _draw(spec, WIDE) + _draw(spec, NARROW)


def _draw(spec: Ground, size: Size) -> str:
    most = max((bed.area for bed in spec.beds), default=0.0)
    scale = (size.width - 2.0) / most if most > 0.0 else 0.0
    body: list[str] = []
    y = TOP
    for bed in spec.beds:
        body.append(text(0.0, y - 7, bed.label, "lb"))
        if wide(bed.label, size) + wide(bed.value, size) + 12 < size.width:
            body.append(text(size.width, y - 7, bed.value, "tx", "end"))
        x, end = 1.0, 1.0 + scale * bed.area
        for patch in bed.patches:
            width = min(scale * patch.area, end - x)  # what is planted too densely ends with its bed
            if width <= 0.0:
                break
            body.append(tag("rect", "st-plant", x=x, y=y, width=width, height=HIGH))
            body.append(tag("rect", "bdl", fill="none", x=x, y=y, width=width, height=HIGH))
            if width >= MARK:
                body.append(text(x + width / 2, y + HIGH / 2 + 5, patch.mark, "st-t", "middle"))
            x += width
        body.append(tag("rect", "bd", x=1.0, y=y, width=end - 1.0, height=HIGH))
        y += HIGH + GAP
    return picture(size, y - GAP + 4, spec.summary, body)
