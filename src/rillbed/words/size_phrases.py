"""Sentences about sizing, by code. No figure of their own."""

from __future__ import annotations

OPTIONS = {"small": "Small", "middle": "Middle", "large": "Large"}

LIMITS = {
    "space": "Floor space",
    "filter": "Surface for bacteria",
    "density": "Fish for the tank",
    "nitrogen": "Nitrogen the beds need",
    "floor": "Load on a usual floor",
}

BINDS = {"wish": "what you wish for", "space": "floor space", "filter": "surface for bacteria"}

VERDICTS = {
    "size.greens_week_met": "All your greens: about {gives:portions} a week in season.",
    "size.greens_week_short": "Greens: {gives:portions} of the {asked:portions} you wish for each week.",
    "size.fish_month_met": "Fish as wished: about {gives:portions} a month.",
    "size.fish_month_short": "Fish: {gives:portions} of the {asked:portions} you wish for each month.",
    "size.fish_count_met": "All {asked} fish find a place.",
    "size.fish_count_short": "{gives} of the {asked} fish find a place.",
    "size.space": "It would give about {greens_week:portions} of greens a week in season, and {fish_month:portions} of "
    "fish a month.",
    "size.binds_wish": "Nothing but your wish stops it from being bigger.",
    "size.binds_space": "Floor space is the limit.",
    "size.binds_filter": "Surface for bacteria is the limit: more or finer medium.",
    "size.next": "The large one does not fit: {limit}, {share} times what there is.",
}

STAGES = {
    "fill": "Fill, run until nothing leaks, then start the bacteria",
    "sow": "Sow {many:count plant} in trays, so that seedlings meet a ready loop",
    "plant": "Plant {many:count seedling}",
    "first_fish": "First {many} fish, when the bacteria have passed their test",
    "more_fish": "{many} more fish, if two tests read no ammonia and no nitrite",
    "last_fish": "The last {many} fish, if two tests read no ammonia and no nitrite",
    "first_picking": "First picking",
    "first_meal": "First fish at eating size",
}

CAUTIONS = {
    "size.weight": "Weight. A bed of {bed:m²} puts {foot:kg} on each of four feet; under a tank stand {load:kg/m²}. "
    "Level, firm ground, and feet that cannot sink.",
    "size.weight_upper": "Weight. Under tank or beds stand {load:kg/m²}; floors of homes are often made for about "
    "{usual:kg/m²}. Balcony, roof or any floor with a room below: ask a structural engineer before you "
    "fill anything.",
    "size.electricity": "Electricity. A residual-current device, sockets above the water, a drip loop in every cable. "
    "A licensed electrician for anything fixed.",
    "size.children": "Children. Cover tank and sump with something that bears a child, and fence them in. It is the "
    "law in many places.",
    "size.bleed": "Salt. With {na:mg/L} of sodium in the source water, about {drain:L} a day must be drained so that "
    "plants do not suffer. With rain water, none.",
    "size.salty": "Salt. With {na:mg/L} of sodium in the source water, no amount of draining keeps plants well. Take "
    "rain water or another source.",
    "size.species": "Law. Ask your fisheries office which fish may be kept, bought alive, moved and eaten; "
    "never release any.",
    "size.welfare": "Welfare. Fish feel hunger, heat and bad water. Keep no more than you can look after "
    "every day, also on holiday, and learn from somebody licensed how to kill one well before "
    "the first is to be eaten.",
}
