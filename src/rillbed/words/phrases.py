"""Sentences for every code a plan can give, in English. Short, verb first, no figure of its own."""

from __future__ import annotations

# Titles of advice. The amount stands apart and is not repeated here.
TITLES: dict[str, str] = {
    "cycle.dose": "Stir in {source}",
    "cycle.hold": "Add no ammonia today",
    "cycle.wait": "Add no ammonia today",
    "cycle.ledger": "Wait: the last doses are still breaking down",
    "cycle.first_reading": "Read ammonia and nitrite first",
    "cycle.prove": "Prove it: stir in a full day's ammonia tonight and read at the same hour tomorrow",
    "cycle.ready": "Ready for the first fish",
    "cycle.fish_in": "Feed little while the bacteria grow",
    "cycle.alkalinity": "Raise alkalinity before the next dose",
    "feed.ration": "Feed {species} in {group} at each of {meals} meals",
    "feed.done": "{group}: fed for today",
    "feed.stop": "Give {group} no feed today",
    "read.due": "Read {quantity}",
    "plant.batch": "Plant up to {count} {crop}",
    "plant.none": "Plant nothing more yet",
    "sow.tray": "Sow a tray of {crop} on {on:day}",
    "pick.ready": "Pick {crop} in {bed}",
    "warn.tan": "Ammonia is too high",
    "warn.nitrite": "Nitrite is too high",
    "warn.oxygen": "Add air before the warm hours",
    "warn.ph_low": "pH is falling: add buffer in small steps",
    "add.element": "Add {element} before planting",
}

REASONS: dict[str, str] = {
    # verdicts
    "verdict.act": "{count} thing(s) to do today; start at the top.",
    "verdict.urgent": "Something needs you now: start at the top.",
    "verdict.calm": "Nothing urgent. The loop can wait until the next reading.",
    # cycling
    "cycle.target": "It lifts ammonia in {volume_l:L} by {target_mg_l:mg/L} as N.",
    "cycle.at_once": "A kit sees {at_once_mg_l:mg/L} of it at once; the rest comes free over days to weeks.",
    "cycle.alkalinity_used": "Turning it into nitrate uses {meq_l:meq/L} of alkalinity.",
    "cycle.brings": "It also brings {element}: {mg_l:mg/L}.",
    "cycle.tan_low": "Ammonia reads no higher than {high:mg/L} as N, below the refill mark of {mark:mg/L}.",
    "cycle.tan_not_low": "Ammonia may still be {high:mg/L} as N; refill once it reads below {mark:mg/L}.",
    "cycle.no2_top": "Nitrite is at the top of your kit ({low:mg/L} as N or more). More ammonia would only pile it up.",
    "cycle.no2_high": "Nitrite may be {high:mg/L} as N, at the hold mark of {mark:mg/L}. Let it come down first.",
    "cycle.nothing_yet": "No ammonia has been logged yet. Start with one refill.",
    "cycle.reading_old": "The last ammonia reading is {days} day(s) old.",
    "cycle.to_come": "{mg_l:mg/L} as N is still to come from what you added; the kit does not see it yet.",
    "cycle.completion": "Ready between {low:day} and {high:day} in 8 of 10 futures; half are ready by {middle:day}.",
    "cycle.completion_open": "Half of the futures are ready by {middle:day}; {chance:chance} within the year ahead.",
    "cycle.load": "The planned feed asks for {planned_g:g} of nitrogen a day; the loop handles about {ready_g:g}.",
    "cycle.two_tests": "Ammonia and nitrite must both read below {mark:mg/L} as N, two days running.",
    "cycle.fish_in_rule": "With fish in the water no ammonia is dosed. The ration and the chloride in the water "
    "are what keep them safe.",
    "cycle.alk_left": "Alkalinity may be only {low:meq/L}; the next dose uses {used:meq/L}.",
    # feeding
    "feed.biomass": "{count} fish of about {weight_g:g} weigh {biomass_g:g} together.",
    "feed.growth": "At {temp_c:°C} they can use about {per_day_g:g} a day.",
    "feed.cap": "The feed table caps this size at {per_day_g:g} a day.",
    "feed.water": "Water quality allows {factor:chance} of that: {limit}.",
    "feed.fed": "{fed_g:g} was given today already.",
    "feed.cold": "At {temp_c:°C} these fish cannot digest feed; below {stop_c:°C} it only fouls the water.",
    "feed.tan": "Ammonia may be {high:mg/L} as N; feeding stops at {limit:mg/L}.",
    "feed.no2": "Nitrite may be {high:mg/L} as N; feeding stops at {limit:mg/L}.",
    # readings
    "read.last": "Last read on {last:day}; due every {every} days.",
    "read.never": "Not read yet. Not known is a state: this test would tell.",
    "read.why.cycling": "It decides whether to refill or to hold.",
    "read.why.alarm": "It is the first sign of trouble.",
    "read.why.buffer": "It shows how much acid the loop can still take.",
    "read.why.plants": "It decides how many more plants the loop carries.",
    # room
    "room.next": "In 8 of 10 futures the loop carries {count} more {crop} to picking, {days} days.",
    "room.half": "At even chances it would be {count}.",
    "room.binds": "{limit} runs out first ({chance:chance}), about {days} days after planting.",
    "room.rule": "The feed rule ({low:g} to {high:g} of feed per m² a day) gives {m2_low:m²} to {m2_high:m²} in all.",
    "room.steady": "Nitrogen alone would keep {low:m²} to {high:m²} planted for good.",
    "room.state.young": "The loop is young: little feed yet, so the store in the water counts more than the rule.",
    "room.state.ramping": "The ration is still climbing: the rule will rise with it.",
    "room.state.steady": "Feed has been steady: the two views may be compared.",
    "room.staged": "Plant {now} now; {more} more when nitrate reads at least {mark:mg/L} as N on two tests, "
    "expected between {low:day} and {high:day}.",
    "room.staged_open": "Plant {now} now; read nitrate again before planting more.",
    "room.full": "The beds have {places} free places.",
    "room.supplement": "{element}: about {grams:g} must be added over the batch's life.",
    "room.no_other": "Nitrate alone is no sign: {elements} are missing until something brings them.",
    "sow.chance": "{chance:chance} that the loop is ready while the tray is {low} to {high} days old.",
    "pick.age": "Planted on {on:day}; the crop's first picking is due after {days} days.",
    # warnings
    "warn.worst": "Worst value your reading allows: {value:mg/L}; limit {limit:mg/L} ({what}).",
    "warn.o2": "Dawn oxygen may fall to {low:mg/L} on {on:day}; these fish need {limit:mg/L}.",
    "warn.ph": "pH reads {low} to {high}; below {limit} the bacteria slow down.",
    "warn.step": "Move pH by no more than {cap} in a day.",
    # coming up
    "soon.nitrate": "Nitrate in four weeks: between {low:mg/L} and {high:mg/L} as N.",
    "soon.weight": "Fish in four weeks: between {low:g} and {high:g} each.",
    "soon.picking": "{crop} in {bed}: first picking about {on:day}.",
    "soon.ration": "Feed in four weeks: between {low:g} and {high:g} a day.",
    # expectations
    "expect.tan": "Ammonia should read about {value:mg/L} as N an hour later.",
    "expect.tan_falls": "Ammonia should be lower tomorrow. If it is not, wait and read again.",
    "expect.eaten": "All of it should be eaten within ten minutes. If not, give less next time.",
    "expect.interval": "A reading narrows every range on this page.",
    # honesty
    "note.prior": "Ranges come from general knowledge of such loops; they are not fitted to your log yet.",
    "note.stop": "The forecast stopped early: {why}.",
    "note.unknown_source": "Your source water's {what} is not known. A test of it would sharpen pH and calcium.",
}

CAUTIONS: dict[str, str] = {
    "ammonia.pure": "Only ammonia free of scent, colour and surfactants: shake the bottle; foam that stays means no.",
    "ammonia.bleach": "Never bring ammonia near bleach: the gas is poisonous.",
    "ammonia.protect": "Gloves, eye protection and fresh air. Pour ammonia into water, never the other way round.",
    "ammonia.no_fish": "No animals in the water while ammonia is dosed.",
    "ammonia.ph_jump": "Raises pH at once: give it in parts where the water moves.",
    "ammonia.additives": "Only without coating and without urease or nitrification inhibitors.",
    "ammonia.delayed": "An ammonia kit does not see it yet: do not dose again because the kit reads low.",
    "organic.oxygen": "Uses much oxygen while it breaks down, smells and draws animals. Keep the air on.",
    "chlorine.first": "Remove chlorine and chloramine from fresh water first.",
    "electricity": "Dry hands, mains through a residual-current switch, drip loop in every cable.",
}

QUANTITIES: dict[str, str] = {
    "tan": "ammonia",
    "no2": "nitrite",
    "no3": "nitrate",
    "ph": "pH",
    "alkalinity": "alkalinity",
    "k": "potassium",
    "ca": "calcium",
    "mg": "magnesium",
    "fe": "iron",
    "p": "phosphorus",
    "n": "nitrogen",
    "s": "sulphur",
    "na": "sodium",
    "cl": "chloride",
    "oxygen": "oxygen",
    "temp": "water temperature",
}
