"""Sentences of a verdict on the water, by code. Short, in a grower's words, no figure of their own."""

from __future__ import annotations

LEVELS: dict[str, str] = {
    "safe": "fine", "watch": "keep an eye on it", "act": "act today", "danger": "danger: act now",
}  # fmt: skip

# What a band is about, as it starts a line.
NAMES: dict[str, str] = {
    "o2": "Oxygen",
    "chlorine": "Chlorine",
    "chloramine": "Chloramine",
    "nh3_n": "Toxic ammonia (un-ionised, as N)",
    "no2_n": "Nitrite (as N)",
    "co2": "Carbon dioxide",
    "ph_rate": "How fast pH moves",
    "temperature": "Water temperature",
    "ph": "pH",
    "tan": "Ammonia (all of it, as N)",
    "alkalinity": "Alkalinity",
    "no3_n": "Nitrate (as N)",
    "hardness": "Hardness",
    "ec": "Conductivity",
    "na": "Sodium",
    "cl": "Chloride",
    "ca": "Calcium",
    "s": "Sulfate (as S)",
    "copper": "Copper",
    "zinc": "Zinc",
}

# What a reading is called inside a sentence, where the general list has another name or none.
INSIDE: dict[str, str] = {
    "gh": "hardness", "ec": "conductivity", "chlorine": "total chlorine", "chloramine": "chloramine",
    "temperature": "water temperature", "hardness": "hardness", "no3_n": "nitrate", "kind": "where the water is from",
    "copper": "copper", "zinc": "zinc", "medium": "what fills the bed", "co2": "carbon dioxide",
    "source_water.alkalinity_meq_l": "the alkalinity of the water you top up with",
}  # fmt: skip

WHOM: dict[str, str] = {
    "fish": "fish of any kind", "cold_fish": "cold-water fish", "warm_fish": "warm-water fish", "loop": "the loop",
    "plants": "the plants", "nitrifiers": "the bacteria",
}  # fmt: skip

REASONS: dict[str, str] = {
    # every band
    "verdict.memory": "The line of {limit} for {whom} is recalled, not looked up; it can only make this stricter.",
    "verdict.by_model": "Nobody read {quantity} lately; this is what the model reckons with. A test is better.",
    "verdict.stale": "The reading of {quantity} behind it is {days:count day} old.",
    "verdict.lowest_step": (
        "Your kit found none, but its lowest step reaches up to {high:mg/L}, so less cannot be proven."
    ),
    # oxygen
    "o2.saturation": "Water this warm holds {full:mg/L} in balance with air; {share:%} of it is there for sure.",
    "o2.by_day": "It was read about {hour} o'clock, when light adds oxygen: before dawn there is less.",
    "o2.gasping": (
        "Fish gasp at the surface and nobody read oxygen: take it for nearly gone until a test says otherwise."
    ),
    # chlorine
    "chlorine.no_proof": "A test that shows nothing is no proof: fish are harmed below what a strip can show.",
    "chlorine.found": "A test found at least {low:mg/L}. There should be none at all.",
    "chlorine.untreated": "{litres:L} went in untreated with {source:mg/L}: up to {most:mg/L} in the loop.",
    "chloramine.untreated": (
        "{litres:L} went in untreated with {source:mg/L}: up to {most:mg/L} in the loop, and it does not leave by"
        " itself."
    ),
    # ammonia
    "nh3.parts": (
        "At worst there are {tan:mg/L} of ammonia as N at pH {ph} and {temp_c:°C}, and {nh3:mg/L} of it is the "
        "toxic form."
    ),
    "nh3.ph_unread": (
        "pH was not read, so anything from {low} to {high} had to be reckoned with: a pH test tells most here."
    ),
    "nh3.epa_under": (
        "For comparison: the criteria for rivers with mussels allow {chronic:mg/L} over a month; yours is below."
    ),
    "nh3.epa_chronic": (
        "For comparison: it is above the criterion for rivers with mussels over a month, {chronic:mg/L}, and "
        "below that for one hour, {acute:mg/L}. This decides nothing here."
    ),
    "nh3.epa_over": (
        "For comparison: it is above even the criterion for one hour in rivers with mussels, {acute:mg/L}. This "
        "decides nothing here."
    ),
    # nitrite
    "no2.chloride": (
        "Chloride keeps nitrite out of the blood: {wanted:mg/L} would protect fully, at least {chloride:mg/L} is there."
    ),
    "no2.chloride_unread": (
        "Chloride keeps nitrite out of the blood: {wanted:mg/L} would protect fully. Nobody read it, so none is "
        "counted on."
    ),
    "no2.not_helped": "Chloride does not protect {species}.",
    # carbon
    "co2.parts": "At worst it follows from pH {ph} and {alkalinity:meq/L} of alkalinity.",
    "co2.phosphate_unread": "Phosphate was not read; it would make this less, never more.",
    "co2.ph_hidden": "pH is below your kit's last step, {step}: carbon dioxide may be higher than this.",
    "co2.capped": "The readings would allow more than {most:mg/L}, which no loop with air on holds.",
    "ph.below_kit": "Your kit ends at {step}: pH may be far below it. Use a test for low pH.",
    "ph.above_kit": "Your kit ends at {step}: pH may be above it. Use a test for high pH.",
    "ph_rate.two": "pH went from about {from} to about {to} in {days:count day}.",
    # contradictions
    "contradiction.twice": (
        "{quantity} read {first} and {hours:count hour} later {then}, and nothing was done to the water between. "
        "One of the two is a misreading: test once more."
    ),
    "contradiction.co2_high": (
        "pH and alkalinity do not fit: together they need {co2:mg/L} of carbon dioxide, more than any loop with "
        "air on holds. Test both again, pH with another bottle or a fresh calibration."
    ),
    "contradiction.co2_low": (
        "pH and alkalinity do not fit: together they leave less carbon dioxide than air gives back. Unless the "
        "water is green or a base just went in, test both again."
    ),
    "contradiction.oxygen": (
        "Oxygen reads {low:mg/L}, more than twice what air gives ({full:mg/L}). Check the unit and the meter."
    ),
    "contradiction.salts": (
        "Conductivity of {ec:mS/cm} does not fit: alkalinity, chloride and nitrate alone make at least "
        "{least:mS/cm}. Check the units of each."
    ),
    # budget
    "budget.read": "Alkalinity was read on {on:day} as about {middle:meq/L}.",
    "budget.by_model": "Nobody read alkalinity lately; the model reckons with {low} to {high:meq/L}.",
    "budget.used": "The loop uses about {middle:meq/L} a day, {ppm:mg/L} as CaCO₃.",
    "budget.gains": "More comes in than is used: about {middle:meq/L} a day, {ppm:mg/L} as CaCO₃.",
    "budget.floor_now": "It is under {floor:meq/L} already, where the bacteria slow down.",
    "budget.floor_in": (
        "The bacteria slow down below {floor:meq/L}: in about {middle:count day}, {low} to {high:count day}."
    ),
    "budget.floor_maybe": (
        "It may fall under {floor:meq/L}, where the bacteria slow down, from {low:count day} on: {chance:chance}."
    ),
    "budget.floor_far": "It stays above {floor:meq/L} for the {days:count day} looked at.",
    "budget.crash_now": "Nothing holds pH any more: it is, or is about to be, under {ph}.",
    "budget.crash_in": "Without base pH falls under {ph} in about {middle:count day}, {low} to {high:count day}.",
    "budget.crash_maybe": "Without base pH may fall under {ph} from {low:count day} on: {chance:chance}.",
    "budget.crash_far": "pH holds above {ph} for the {days:count day} looked at, without any base.",
    "budget.base": "To hold it where it is, {low} to {high:g} of {supply} a week, about {middle:g}.",
    # pH that stays high
    "stubborn.high": "pH has been high, about {ph}, from {since:day} to {until:day}.",
    "stubborn.media": (
        "Something in the loop dissolves: {media:eq} of carbonate a week that no source water brought. Put a "
        "stone of the bed in vinegar: if it fizzes, that is it."
    ),
    "stubborn.tap": "The water you top up with brings it: {tap:eq} a week of the {supply:eq} that come in.",
    "stubborn.both": "Two things bring it: the source water {tap:eq} a week, and something that dissolves {media:eq}.",
    "stubborn.none": "Nothing brings carbonate any more: the water itself holds the store, and it can be thinned.",
    "stubborn.unknown": "Stones or tap? Test the alkalinity of the water you top up with: that decides.",
    "stubborn.came_back_alkalinity": (
        "After {event} on {on:day} alkalinity came back from {settled} to {later:meq/L} in {days:count day}."
    ),
    "stubborn.came_back_ph": "After {event} on {on:day} pH came back from {settled} to {later} in {days:count day}.",
    "stubborn.stayed_down_alkalinity": "After {event} on {on:day} alkalinity stayed where it was for {days:count day}.",
    "stubborn.stayed_down_ph": "After {event} on {on:day} pH stayed where it was for {days:count day}.",
    "stubborn.acid_once": "Acid for a pH of {target}: {grams:g} of hydrochloric acid at 10 %, once.",
    "stubborn.acid_week": "And as much again to stay there: {low} to {high:g} every week.",
    "stubborn.acid_per_kg": "A single kilogram of limestone uses up {grams:g} of that acid before it is gone.",
    "stubborn.acid_store": (
        "About {kg:kg} of limestone lie in the beds: {acid_kg:kg} of that acid. Acid is no cure here."
    ),
    "stubborn.falls": (
        "Once nothing brings carbonate, the bacteria alone bring pH to {target} in about {low} to {high:count day}."
    ),
    # source water
    "source.chlorine_unread": (
        "Nobody knows its chlorine: treat it as if it held chloramine, or test total chlorine. Standing does not "
        "remove chloramine."
    ),
    "source.treat": (
        "Stir {grams:g} of sodium thiosulfate into each 100 L before it goes in ({chlorine:mg/L} of chlorine)."
    ),
    "source.chlorine_leaves": (
        "Free chlorine also leaves by itself in one to three days of strong air: test before use."
    ),
    "source.chloramine_stays": "Chloramine ({chloramine:mg/L}) does not leave by standing or by air.",
    "source.stood_no_proof": "Standing proves nothing: chloramine stays. Test total chlorine.",
    "source.ammonia": "It brings {tan:mg/L} of ammonia as N.",
    "source.ammonia_at_ph": (
        "It brings {tan:mg/L} of ammonia as N; undiluted at your pH of {ph} that is {nh3:mg/L} of the toxic form."
    ),
    "source.soft": "It brings hardly any alkalinity ({alkalinity:meq/L}): the loop needs base instead.",
    "source.hard_to_lower": (
        "Its alkalinity of {alkalinity:meq/L} keeps pH up: mix it with rain water rather than add acid."
    ),
    "source.roof": "Water off a roof: let the first rain run away, and have zinc and copper tested once.",
    "source.well": "Well water: have nitrate, iron, zinc and copper tested once, and test again after a day of air.",
    "source.no_step": (
        "Even a hundredth of it would move pH by more than {step}, or bring too much ammonia: use other water."
    ),
    "source.step_most": "Treated, up to {litres:L} at once are safe, half of the water.",
    "source.step_unknown": "Treated, up to {litres:L} at once: pH or alkalinity of one of the waters is not known.",
    "source.step_ph": "Treated, up to {litres:L} at once: more would move pH by over {step} or bring too much ammonia.",
    "source.step_temperature": (
        "Treated, up to {litres:L} at once: more would change the warmth by over {temp_step:°C}."
    ),
    "source.raw_step": "Untreated, no more than {litres:L}: beyond that chlorine passes {line:mg/L}.",
    # build-up
    "buildup.source_over": "{element} is over what plants bear ({limit:mg/L}) in the source itself: no draining helps.",
    "buildup.passes": (
        "{element} passes what plants bear ({limit:mg/L}) about {by:day}; each month of topping up leaves "
        "{per_month:mg/L}. Draining {drain:L} a day would hold it."
    ),
    "buildup.may_pass": (
        "{element} may pass what plants bear ({limit:mg/L}) within the time looked at: {chance:chance}. Each "
        "month of topping up leaves {per_month:mg/L}."
    ),
    "buildup.stays": "{element} stays below what plants bear ({limit:mg/L}); each month leaves {per_month:mg/L}.",
}

# The same where a reading is beyond the last step of a kit, so that no figure can be given.
BEYOND: dict[str, str] = {
    "nh3.parts": "Ammonia is beyond the last step of your kit: dilute the sample with clean water and read again.",
    "nh3.epa_over": "It is also above the criterion for one hour in rivers with mussels, {acute:mg/L}.",
    "no2.chloride": "Nitrite is beyond the last step of your kit: dilute the sample to see how much chloride protects.",
    "no2.chloride_unread": (
        "Nitrite is beyond the last step of your kit: dilute the sample to see how much chloride protects."
    ),
    "chlorine.found": "A test found at least {low:mg/L}. There should be none at all.",
    "source.ammonia": "Its ammonia is beyond the last step of the kit: dilute the sample and read again.",
    "source.ammonia_at_ph": "Its ammonia is beyond the last step of the kit: dilute the sample and read again.",
    "source.treat": "Its chlorine is beyond the last step of the test: dilute the sample and read again.",
    "source.chlorine_leaves": (
        "Free chlorine also leaves by itself in one to three days of strong air: test before use."
    ),
}
