"""Sentences about doses, by code: why this much, what not to do, what to do instead. No figure of their own."""

from __future__ import annotations

REASONS: dict[str, str] = {
    # so many grams of one thing
    "added.unknown": "Neither pH nor alkalinity was read lately, so what it does to pH cannot be said.",
    "added.too_fast": "Too much at once: in {share:futures} pH moves by more than {cap}. One day allows {most:g}.",
    "added.too_much": "It brings {mg_l:mg/L} of {element}; one day, and what plants bear, allow {most:g} of it.",
    # why this much
    "doses.base": "The water needs {wanted:meq/L} more alkalinity. As {supply} it goes in over {days:count day}, "
    "so that pH moves by no more than {cap} in a day.",
    "doses.base_more": "After {days:count day} {given:meq/L} of the {wanted:meq/L} is in. Read again and go on "
    "from there.",
    "doses.base_full": "Only {given:meq/L} of the {wanted:meq/L} can go in as {supply}: it would bring too much of "
    "what stays in the water.",
    "doses.calcite": "This water is so full of calcium and carbonate that no pH right after the dose can be promised. "
    "Measure it, and stop if it turns cloudy.",
    "doses.acid": "The water must lose {wanted:meq/L} of alkalinity. With {supply} that takes {days:count day}, as "
    "pH may move by no more than {cap} in a day.",
    "doses.acid_left": "It leaves {left:meq/L} of alkalinity: check it before every further dose.",
    "doses.acid_more": "Only {given:meq/L} of the {wanted:meq/L} fits into two weeks. If pH climbs back overnight, "
    "stop.",
    "doses.part": "Part {part} of {parts} of the day.",
    "doses.reread": "Only if pH, alkalinity and ammonia read that morning still call for it.",
    "doses.before_it": "Stir it into the fresh water before any of it meets the fish.",
    "doses.after_change": "Leaves about {left:mg/L}.",
    "doses.pour_slowly": "Let it in over {hours:count hour}, so that the temperature moves slowly.",
    "doses.changes": "{quantity} at {now:mg/L} comes down to {left:mg/L} in {count:count change} of water; the fresh "
    "water itself brings {source:mg/L}.",
    "doses.changes_more": "After {days:count day} it would still be {left:mg/L}, above the {target:mg/L} aimed at: "
    "find out what produces it.",
    "doses.change_unknown": "Nobody has read pH and alkalinity of both waters, so no change takes more than "
    "{litres:L}.",
    "doses.change_temp": "The fresh water is so much colder or warmer that one change may take {litres:L}: it may "
    "move the tank by {step:°C} at most.",
    "doses.chloramine_ammonia": "Chloramine leaves {tan:mg/L} of ammonia-N in the treated water, {loop:mg/L} once "
    "it is mixed in.",
    "doses.ammonia_in_unknown": "If the tap holds chloramine, the treated water brings up to {tan:mg/L} of "
    "ammonia-N, and ammonia falls less. Test it for ammonia.",
    "doses.chloramine_ammonia_in": "The chloramine of the fresh water leaves {tan:mg/L} of ammonia-N in it.",
    "doses.chlorine": "{litres:L} with {free:mg/L} free chlorine and {chloramine:mg/L} chloramine.",
    "doses.chlorine_assumed": "Nobody has tested this water. {litres:L} are treated as if all of the {chloramine:mg/L} "
    "a tap may hold were chloramine, the kind that stays.",
    "doses.free_chlorine_air": "Free chlorine also leaves by itself in one to three days of strong air.",
    "doses.chloride_unread": "Chloride was not read; the water is taken to hold none that protects.",
    "doses.nitrite_top": "Nitrite is at the top of your kit: it may be more than {low:mg/L}. Dilute the sample and "
    "read again today.",
    "doses.salt_short": "Chloride gets to {reached:mg/L} of the {target:mg/L} wanted: more salt would harm the plants.",
    "doses.salt_covers": "That protects up to {no2:mg/L} of nitrite-N. Change water to get below it.",
    "doses.salt_insurance": "Chloride is kept at {mark:mg/L} as insurance, even while nitrite is low.",
    "doses.iron": "It lifts iron by {rise:mg/L}. The iron of {supply} stays in solution up to pH {stable}; yours "
    "reads up to {ph}.",
    "doses.iron_unread": "Iron was not read; the water is taken to hold none.",
    "doses.iron_low_end": "So it is lifted to {target:mg/L} only, the least that plants like: there may be more in it.",
    "doses.iron_halves": "In two halves, a day apart: trout and fry bear less at once.",
    "doses.iron_away_from_base": "Not on a day on which pH is raised.",
    "doses.media": "{grams:g} in a mesh bag in the flow. By itself it can lift alkalinity to {most:meq/L} and pH to "
    "about {ph}, never further.",
    "doses.media_slow": "It dissolves over weeks, faster the more acid the water.",
    "doses.media_out": "Take the bag out to stop it.",
    "doses.mix": "{count:count product} together bring {elements}; days and amounts are worked out so that each stays "
    "within its limits.",
    "doses.short": "{element} stays short by {short} after two weeks: what it comes with has reached its limit.",
    "doses.again": "At the acid this loop makes it lasts {low:days} to {high}; {middle:days} in the middle.",
    # what comes next
    "expect.alkalinity": "Tomorrow alkalinity should read about {middle:meq/L}, {low:meq/L} to {high:meq/L}.",
    "expect.settled": "pH should settle near {ph} once the air has evened it out.",
    "expect.chloride": "Chloride should read about {cl:mg/L} tonight.",
    "expect.no_chlorine": "A chlorine test must show nothing before the water goes in.",
    "expect.tan_rise": "Ammonia will read up to {tan:mg/L} higher: that is the rest of the chloramine.",
    "expect.iron": "Iron should read about {high:mg/L} a day later.",
    "expect.after_change": "Two hours after the first change {quantity} should read about {left:mg/L}.",
    "expect.still_produced": "After all of them about {left:mg/L}. If {quantity} reads clearly more, something is "
    "still producing it.",
    "expect.rises": "By the end {brought} more than today.",
    "expect.slow": "Over weeks pH rises towards {ph} and alkalinity towards {alkalinity:meq/L}.",
    # what not to do
    "not.all_at_once": "Do not give it all at once, however little it looks.",
    "not.while_ammonia": "Raise no pH while ammonia reads {mark:mg/L} as N or more.",
    "not.organic_acid": "No vinegar, no citric acid: bacteria eat it, use up oxygen, and pH climbs back.",
    "not.if_it_returns": "If pH is back the next morning, give no more acid: look for stones, shells or hard water.",
    "not.tablets": "No tablets, nails or green vitriol: they bring no iron plants can use at this pH.",
    "not.iron_with_base": "No iron on a day with base.",
    "not.salt_with_additives": "No iodised salt, no sea salt, nothing with anti-caking agents.",
    "not.more_salt_than_needed": "No salt beyond this: it only leaves with the water you change.",
    "not.standing_chloramine": "Do not count on letting it stand: chloramine stays for weeks.",
    "not.trust_the_strip": "A strip that shows nothing is no proof; treat it anyway.",
    "not.untreated": "No untreated tap water.",
    "not.all_the_water": "Do not change all the water: bacteria and fish need it to stay much the same.",
    "not.clean_the_filter": "Do not clean filter or gravel on the same day.",
    "not.media_in_filter": "Do not mix shell into the gravel: you could not take it out again.",
    # refusals
    "refuse.tan": "Ammonia may be {high:mg/L} as N, and raising pH makes it more toxic: no base from {mark:mg/L} on.",
    "refuse.tan_open": "Ammonia is at the top of your kit, and raising pH makes it more toxic: no base from "
    "{mark:mg/L} on.",
    "refuse.free_ammonia": "At the new pH free ammonia could reach {nh3:mg/L}, over the {line:mg/L} at which gills "
    "suffer.",
    "refuse.unknown": "Without {quantity} no amount is safe.",
    "refuse.open_ph": "pH is at the top of your kit, {low} or more: it may be high already.",
    "refuse.reached": "It is there already: {now}, and {target} is wanted.",
    "refuse.alkalinity": "{target:meq/L} is more than the {high:meq/L} at which pH will no longer come down.",
    "refuse.ph_high": "pH {target} is above the {high} bacteria and fish bear.",
    "refuse.ph_low": "pH {target} is below the {low} bacteria and fish bear.",
    "refuse.contradiction": "{tests} as read cannot be true together.",
    "refuse.sodium": "Sodium would pass the {ceiling:mg/L} plants bear.",
    "refuse.step": "Even the smallest amount of {supply} a scale can weigh would move pH by more than {cap} in "
    "{volume_l:L}.",
    "refuse.organic_acid": "{substance} is no cure: bacteria eat it, use up oxygen, and pH climbs back within days.",
    "refuse.copper": "{substance} is poison for fish and for the snails and bacteria of a loop.",
    "refuse.tablets": "{substance} bring no iron plants can use, and much that harms fish.",
    "refuse.bleach": "{substance} kills fish and bacteria, and with ammonia it makes a poisonous gas.",
    "refuse.ash": "{substance} is strongly alkaline and brings zinc, copper and lead nobody has measured.",
    "refuse.salt_with_additives": "{substance} brings iodine, anti-caking agents or far too much sodium.",
    "refuse.acid_limestone": "{bed} is filled with limestone. It dissolves as fast as you pour: {acid_g:g} of 10 "
    "per cent acid would only hold until the next day.",
    "refuse.acid_source": "Your source water brings {source:meq/L} with every refill. {acid_g:g} of 10 per cent acid "
    "would be undone by the next top-ups.",
    "refuse.acid_no_buffer": "At that pH only {left:meq/L} of alkalinity would be left, under the {floor:meq/L} "
    "that keeps pH from crashing.",
    "refuse.no_chlorine": "No chlorine was found; it must stay under {ceiling:mg/L}.",
    "refuse.ascorbate": "{supply} may not act on the {chloramine:mg/L} of chloramine in this water.",
    "refuse.chelate": "{supply} lets go of its iron above pH {stable}; yours reads up to {ph}.",
    "refuse.not_protected": "Chloride does not protect {species}: salt would only harm the plants.",
    "refuse.salt_plants": "Plants already have all the sodium ({na:mg/L}) or chloride ({cl:mg/L}) they bear.",
    "refuse.dilute_source": "The fresh water holds {source:mg/L} itself; it cannot bring {quantity} down to "
    "{target:mg/L}.",
    "refuse.change": "One change may take {litres:L} at most.",
    "refuse.change_ph": "More would move pH by over {cap} in a day, or make ammonia more toxic.",
    "refuse.open_no2": "Chloride at {now:mg/L} is enough for {low:mg/L} of nitrite-N, the top of your kit. It may "
    "be more.",
    "refuse.media_ceiling": "Shell and limestone stop dissolving at {most:meq/L} and pH {ph} in this water; "
    "{target:meq/L} is out of their reach.",
    "refuse.no_supply": "Nothing at hand brings {elements} within the limits.",
    # instead
    "instead.lower_ammonia": "First bring ammonia down: no feed, more air, treated water in small changes.",
    "instead.reread_then_base": "Read ammonia again tomorrow; give base once it is low.",
    "instead.read": "Read {quantity} first.",
    "instead.read_again": "Read both again, with fresh reagents and a rinsed tube.",
    "instead.nothing": "Nothing to add. Read again as usual.",
    "instead.find_the_source": "Find out what holds pH up: drop a little vinegar on a stone outside the loop; if "
    "it fizzes, that is it. Let a glass of tap water stand with air for a day and read it.",
    "instead.soft_water": "Blend in rain or other soft water, a little at every top-up.",
    "instead.shade_and_clean": "Shade the water against algae; treat sick fish in a tank of their own, on a vet's "
    "advice.",
    "instead.chelate": "Use an iron chelate that holds at your pH.",
    "instead.plain_water": "Rinse tools with plain water and let them dry in the sun.",
    "instead.bicarbonate": "Use potassium bicarbonate.",
    "instead.plain_salt": "Use plain salt without additives, or better calcium chloride.",
    "instead.carbonate_media": "Hang a small bag of shell into the flow: it stops by itself.",
    "instead.let_it_fall": "Let the bacteria bring pH down; they use up alkalinity every day.",
    "instead.change_medium": "Replace the stones, part by part, with some that do not fizz.",
    "instead.live_with_it": "Or live with it: an iron chelate for high pH, and plants that bear it.",
    "instead.blend": "Fill up with {tenths} tenths of rain or other soft water.",
    "instead.chlorine_test": "Test again when the supplier may have changed something.",
    "instead.supply": "Use {supply}.",
    "instead.dilute_nitrite": "Change water, treated first, to bring nitrite down.",
    "instead.dilute_sample": "Mix one part of the sample with nine of pure water, read again today, and count tenfold.",
    "instead.less_feed": "Feed nothing until it reads low.",
    "instead.other_water": "Use other water, or age and filter this until it reads low.",
    "instead.small_changes": "Make several small changes instead.",
    "instead.drain_and_refill": "Drain and refill a little every day.",
}
