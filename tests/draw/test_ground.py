"""Beds from above: to one scale, and what is too much ends with its bed."""

import re

from rillbed.draw import Ground, Patch, Plot, ground


def widths(picture: str, cls: str) -> list[float]:
    return [float(found) for found in re.findall(rf'class="{cls}"[^>]* width="([\d.]+)"', picture)]


def test_patches_and_beds_share_one_scale() -> None:
    wide = Plot("raft", 2.0, "0.5 m² free", (Patch("A", 1.0), Patch("B", 0.5)))
    small = Plot("gravel", 1.0, "0 m² free", (Patch("A", 1.0),))
    one = ground(Ground("both", (wide, small))).split("</svg>")[0]
    assert widths(one, "bd") == [638.0, 319.0]
    assert widths(one, "st-plant") == [319.0, 159.5, 319.0]
    assert ">A<" in one
    assert "raft" in one


def test_what_is_planted_too_densely_ends_with_its_bed() -> None:
    bed = Plot("raft", 1.0, "0 m² free", (Patch("A", 0.8), Patch("B", 0.8), Patch("C", 0.8)))
    one = ground(Ground("full", (bed,))).split("</svg>")[0]
    assert sum(widths(one, "st-plant")) == 638.0
    assert ">C<" not in one
    assert ground(Ground("none", ())).count("<svg") == 2
