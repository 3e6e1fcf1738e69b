"""Sentences for every code of a planting plan, in English. No figure of its own."""

from __future__ import annotations

REASONS: dict[str, str] = {
    # why a crop is not planted at all
    "beds.kind": "{crop} does not grow in {kind_words}; {bed} is one.",
    "beds.height": "{crop} grows {height_cm:cm} tall and {bed} has room for {headroom_cm:cm}.",
    "beds.shades": "{crop} grows {height_cm:cm} tall and would shade {others_words} from {bed}.",
    "beds.sow_air": "{crop} is planted while days average {low} to {high:°C}; around {on:day} it is {air_c:°C}.",
    "beds.air": "{crop} bears {low} to {high:°C} on the mean of a day; around {on:day} it is {air_c:°C}.",
    "beds.frost": "{crop} dies at {kill_c:°C}; the coldest nights around {on:day} reach {night_c:°C}.",
    "beds.bolts": "{crop} runs to seed in days of {hours:h}, as they are around {on:day}.",
    "beds.slow": "{crop} would reach only {tenths} of its usual size in {bed}, for want of warmth or light.",
    "beds.too_long": "{crop} needs {days:count day} to its first picking, longer than the {weeks:count week} ahead.",
    "beds.no_seedlings": (
        "{crop} needs {days:count day} in a tray first, and no tray of it is ready; sow one, or buy seedlings."
    ),
    "beds.nothing_for": "Nothing that counts as {wish} grows in these beds at any time of the year ahead.",
    "beds.left_out": "{crop} is left out: {because_words}",
    # why a line is not larger
    "beds.why.bed": "{bed} is full in the week of {on:day}: {m2:m²} free of other plants, {left_m2:m²} left over.",
    "beds.why.clearing": "No more than {most:m²} is cleared in one week; the week of {on:day} has {left:m²} left.",
    "beds.why.trays": "The trays are full in the week of {on:day}: {most:count place}.",
    "beds.why.seedlings": "There are {count:count seedling} of {crop} in trays.",
    "beds.why.element": (
        "{element} binds in the week of {on:day}: {grams:g} to spare in the water, of which the plan leaves {left_g:g}."
    ),
    "beds.why.eaten": "More would not be eaten: {servings} servings of {wish} a week against {wanted} wished for.",
    "beds.why.locked": "You set this line.",
    # notes
    "beds.note.unlocked": "The line you set for {crop} in {bed} on {on:day} finds no room and was let go.",
    "beds.note.instead": "In place of {crop}, {for_crop} would grow here.",
    "beds.note.no_nitrogen": "There is no nitrate to spare yet; nothing is planted before there is.",
}

WHAT = {
    "sow": "Sow {count}\u00a0{crop} for {bed}",
    "transplant": "Set out {count}\u00a0{crop} in {bed}",
    "pick": "Pick {crop} in {bed}: {servings}",
}
WAYS = {
    "sown": "{crop}, {bed}: sow {seeds} on {sow_on:day}, set out {count} on {plant_on:day}; {picks}, {servings}.",
    "direct": "{crop}, {bed}: sow {seeds} into {bed} on {plant_on:day}; {picks}, {servings}.",
    "tray": "{crop}, {bed}: set out {count} from the tray on {plant_on:day}; {picks}, {servings}.",
    "bought": "{crop}, {bed}: buy and set out {count} on {plant_on:day}; {picks}, {servings}.",
    "standing": "{crop}, {bed}: {count} stand since {plant_on:day}; {picks}, {servings}.",
}
KINDS = {"media": "gravel or other media", "raft": "rafts", "nft": "channels"}
WISHES = {
    "leafy": "leaves",
    "leafy_western": "salad and leaves",
    "leafy_warm": "leaves for warm weather",
    "asian_green": "Asian greens",
    "herb": "herbs",
    "herb_cool": "cool herbs",
    "herb_warm": "warm herbs",
    "herb_dry": "woody herbs",
    "root": "roots and bulbs",
    "bulb": "bulbs",
    "stem": "stems",
    "fruiting": "fruit",
    "fruiting_soft": "soft fruit",
    "legume": "peas and beans",
    "brassica_head": "cabbages and their like",
    "flower": "flowers",
}
