"""Cautions on forms of the log, by kind of entry."""

from __future__ import annotations

CARES: dict[str, tuple[str, ...]] = {
    "fish_in": ("fish.law", "fish.quarantine"),
    "fish_died": ("fish.many_dead",),
    "fish_out": ("fish.stun",),
    "fish_weighed": ("fish.wet_hands",),
    "spray": ("spray.write_in",),
    "water_changed": ("water.tap_left",),
}
