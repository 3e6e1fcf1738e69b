"""Cautions on forms of the log, by kind of entry."""

from __future__ import annotations

CARES: dict[str, tuple[str, ...]] = {
    "fish_in": ("fish.law", "fish.welfare", "fish.quarantine"),
    "fish_died": ("fish.many_dead",),
    "fish_out": ("fish.stun",),
    "fish_weighed": ("fish.wet_hands",),
    "spray": ("spray.write_in",),
    "water_changed": ("water.tap_left", "trouble.discharge"),
    "topped_up": ("water.tap_left",),
    "dosed": ("base.caustic", "chemicals.store"),
    "outage": ("electricity", "generator.outdoors"),
    "cleaned": ("upkeep.unplug", "trouble.hands"),
    "upkeep": ("upkeep.unplug",),
    "equipment_stopped": ("upkeep.unplug",),
    "equipment_started": ("upkeep.unplug",),
    "away": ("fish.welfare",),
}
