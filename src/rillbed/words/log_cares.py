"""Cautions on forms of the log, by kind of entry."""

from __future__ import annotations

CARES: dict[str, tuple[str, ...]] = {
    "fish_in": (
        "Ask your fisheries office which kinds may be kept, bought alive and moved; never release any.",
        "New fish can bring disease: keep them apart for some weeks first, in water of their own.",
    ),
    "fish_died": (
        "Many dead within a day, or signs of a disease that must be reported: tell a vet or the fisheries authority "
        "before you move, bury or eat anything.",
    ),
    "fish_out": (
        "Fish that are to be eaten are stunned before they are killed. Learn it from somebody licensed; rules differ.",
    ),
    "fish_weighed": ("Wet hands, no food the day before, back in the water within seconds.",),
    "spray": ("Write what is in it. What is in no table is held as not for use over fish.",),
    "water_changed": (
        "Chlorine and chloramine out first, fresh water within a few degrees of the tank; a tap left running kills.",
    ),
}
