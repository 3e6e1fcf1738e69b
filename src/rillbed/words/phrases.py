"""Sentences for every code a plan can give, in English. Short, verb first, no figure of its own."""

from __future__ import annotations

# Titles of advice. The amount stands apart and is not repeated here.
TITLES: dict[str, str] = {
    "cycle.dose": "Stir in {source}",
    "cycle.hold": "Add no ammonia today",
    "cycle.wait": "Add no ammonia today",
    "cycle.dosed": "Add no more ammonia today",
    "cycle.ledger": "Wait: the last doses are still breaking down",
    "cycle.first_reading": "Read ammonia and nitrite first",
    "cycle.prove": "Prove it: stir in a full day's ammonia tonight and read at the same hour tomorrow",
    "cycle.ready": "Ready for the first fish",
    "cycle.fish_in": "Feed little while the bacteria grow",
    "cycle.fish_in_first": "Put in few fish at first",
    "cycle.no_source": "Choose the ammonia source you can buy",
    "base.dose": "Stir in {supply} to raise alkalinity",
    "base.read_first": "Read alkalinity: it may be running out",
    "base.wait": "Raise no pH today",
    "feed.ration": "Feed {fish} at each of {meals} meals",
    "feed.done": "{fish}: fed for today",
    "feed.stop": "Give {fish} no feed today",
    "read.due": "Test {tests}",
    "plant.batch": "Plant up to {count}\u00a0{crop} {count:word seedling}",
    "plant.after": "Add {elements} first, then plant up to {count}\u00a0{crop} {count:word seedling}",
    "plant.none": "Plant nothing more yet",
    "sow.tray": "Sow a tray of {crop} on {on:day}",
    "pick.ready": "Pick {crop} in {bed}",
    "warn.tan": "Ammonia is too high",
    "warn.nitrite": "Nitrite is too high",
    "warn.oxygen": "Add air before the warm hours",
    "warn.ph_low": "pH is falling: add buffer in small steps",
    "add.element": "Add {element}: stir in {supply}",
    "add.tomorrow": "Add {element} tomorrow",
    "salt.dose": "Protect the fish from nitrite: stir in {supply}",
}

REASONS: dict[str, str] = {
    "shoal.none": "No fish swim in it.",
    "shoal.room_left": "The fish have room and air.",
    "shoal.over_oxygen": (
        "In the week of {on:day} it is {chance:chance} that oxygen falls below what they want. "
        "More air, or taking out {fewer} a week from then on."
    ),
    "shoal.over_density": (
        "If none are taken out, they pass the {limit_kg:kg} that suit the tanks in the week of {on:day}. "
        "Taking out {fewer} a week from then on holds them there."
    ),
    "shoal.big_enough": "{fish}: big enough to eat.",
    "shoal.size_between": "{fish}: {harvest_g:g} each between {low:day} and {high:day}.",
    "shoal.size_from": "{fish}: {harvest_g:g} each from {low:day} on, at even chances by {middle:day}.",
    "shoal.size_later": "{fish}: {harvest_g:g} each lies beyond the forecast.",
    "shoal.too_cold": "Colder than {stop_c:°C}, where {species} stop eating.",
    "shoal.warm": "May be warmer than {most_c:°C}: feed {species} early, and watch them.",
    "shoal.arrive": "{count} {species} arrive.",
    "shoal.away": "Away: {name}.",
    "shoal.back": "Back: no more than the bacteria carry in nine futures of ten.",
    "upkeep.never": "The log does not say when it was done. Once within {days:count day}, and it is known.",
    "upkeep.usual": "Last on {last:day}. By practice every {low} to {high} days.",
    "upkeep.fed": "{grams:g} of feed since {last:day}.",
    "upkeep.own_days": "Your own {times} gaps: most between {low} and {high} days.",
    "upkeep.own_feed": "Your own {times} gaps: most between {low:g} and {high:g} of feed, at what you feed now.",
    "upkeep.away_before": "Before {name}, not from {first:day} to {last:day}: bacteria leave with a large clean, and "
    "few grow while less is fed.",
    "upkeep.away_after": "After {name}, not before {last:day} is over: bacteria leave with a large clean, and few grow "
    "while less is fed.",
    "upkeep.away_between": "Not from {first:day} to {last:day}, for {name}: bacteria leave with a large clean, and few "
    "grow while less is fed.",
    # verdicts
    "verdict.act": "{count:count thing} to do today, the most urgent first.",
    "verdict.urgent": "Something needs you now: start at the top.",
    "verdict.calm": "Nothing urgent. The loop can wait until the next reading.",
    # cycling
    "cycle.target": "It lifts ammonia in {volume_l:L} by {target_mg_l:mg/L} as N.",
    "cycle.at_once": "A kit sees {at_once_mg_l:mg/L} of it at once; the rest comes free over days to weeks.",
    "cycle.alkalinity_used": "Turning it into nitrate uses {meq_l:meq/L} of alkalinity.",
    "dose.brings": "It also brings {brought}.",
    "cycle.tan_low": "Ammonia reads no higher than {high:mg/L} as N, below the refill mark of {mark:mg/L}.",
    "cycle.tan_not_low": "Ammonia may still be {high:mg/L} as N; refill once it reads below {mark:mg/L}.",
    "cycle.no2_top": "Nitrite is at the top of your kit ({low:mg/L} as N or more). More ammonia would only pile it up.",
    "cycle.no2_high": "Nitrite may be {high:mg/L} as N, at the hold mark of {mark:mg/L}. Let it come down first.",
    "cycle.nothing_yet": "No ammonia has been logged yet. Start with one refill.",
    "cycle.dosed_today": "Today's dose is in. Read ammonia tomorrow before you dose again.",
    "cycle.reading_old": "The last ammonia reading is {days:count day} old.",
    "cycle.to_come": "{mg_l:mg/L} as N is still to come from what you added; the kit does not see it yet.",
    "cycle.completion": "Ready between {low:day} and {high:day} in 8 of 10 futures; half are ready by {middle:day}.",
    "cycle.completion_open": "Half of the futures are ready by {middle:day}; {chance:chance} within the year ahead.",
    "cycle.load_planned": "The planned feed will ask for {planned_g:g} of nitrogen a day. Begin with a fifth of it.",
    "cycle.two_tests": "Ammonia and nitrite must both read below {mark:mg/L} as N, two days running.",
    "cycle.prove_with": "{source} comes free over days and cannot make a full day's load in one, so the proof takes "
    "ammonia itself. Without it, begin with very few fish and little feed, as if nothing were proved.",
    "cycle.fish_in_rule": "With fish in the water no ammonia is dosed. The ration and the chloride in the water "
    "are what keep them safe.",
    "cycle.first_fish": "No fish are in the log yet. Begin with {share:one in} of the fish you plan and feed them "
    "little; add no more before ammonia and nitrite stay at the lowest step.",
    # alkalinity and supplies
    "base.left": "Alkalinity may be only {low:meq/L}; it is kept above {floor:meq/L}, and under {slows:meq/L} the "
    "bacteria slow down.",
    "base.not_read": "No reading of the last {days} days says so yet, only the model.",
    "base.read_on": "That is the lower end of your reading of {on:day}, moved on to today.",
    "base.tan": "Ammonia may be {high:mg/L} as N. From {mark:mg/L} pH is not raised: more of it would turn poisonous.",
    "base.rise": "It raises alkalinity by {rise:meq/L}.",
    "base.steps": "{doses:count such dose}, one a day, reach the mark: pH may move by no more than {cap} in a day.",
    "add.read": "Your reading says {span:mg/L} of {element}; plants need {floor:mg/L}.",
    "add.model": "There is probably {span:mg/L} of {element}; plants need {floor:mg/L}. A test would tell.",
    "add.rise": "It brings {rise:mg/L} of {element}; the aim is {target:mg/L}.",
    "add.rest": "The rest, {rest:mg/L}, follows on other days: no more than {cap:mg/L} in one.",
    "add.later": "After that, on days of their own: {elements}.",
    "add.one_a_day": "One product a day: what is given today comes first, and iron wants a pH that has settled.",
    "salt.target": "Chloride of {target:mg/L} is wanted: {ratio} times the nitrite ion by weight (nitrite may be "
    "{nitrite:mg/L} as N).",
    "salt.insurance": "Chloride of {target:mg/L} is kept as insurance while bacteria grow: it keeps nitrite out of the "
    "gills.",
    "salt.present": "About {present:mg/L} is there; this adds {rise:mg/L}.",
    "salt.rest": "The rest follows on other days, at most {cap:mg/L} in one.",
    "salt.plants": "That is over the {ceiling:mg/L} that sensitive plants bear: changing water lowers nitrite too.",
    "salt.not_helped": "{species} hardly take up nitrite through the gills: chloride does not help them.",
    "supply.buy": "There is no such thing on your shelf: buy {supply}, plain and without additives.",
    # feeding
    "feed.biomass": "{count} fish of about {weight_g:g} weigh {biomass_g:g} together.",
    "feed.growth": "At {temp_c:°C} they can use about {per_day_g:g} a day.",
    "feed.held": "In clean water they could use {full_g:g}; ammonia, nitrite or want of oxygen may hold them back.",
    "feed.away": "{name}, until {last:day}: only a part is given. The whole ration would be {ration_g:g} a day.",
    "feed.away_none": "{name}, until {last:day}: nobody feeds.",
    "feed.back": "Back from {name}: fewer bacteria are left. In nine futures of ten they carry {carry_g:g} a day; the "
    "whole ration, {ration_g:g}, comes back as they do. Test on the second day.",
    "feed.fed": "{fed_g:g} was given today already.",
    "feed.cold": "At {temp_c:°C} these fish cannot digest feed; below {stop_c:°C} it only fouls the water.",
    "feed.tan": "Ammonia may be {high:mg/L} as N; feeding stops at {limit:mg/L}.",
    "feed.tan_open": "Ammonia is at the top of your kit, {low:mg/L} as N or more; feeding stops at {limit:mg/L}.",
    "feed.kit_coarse": "Your kit reads its lowest step, which may still be {high:mg/L} of {quantity} as N; {species} "
    "suffer from {limit:mg/L}. A finer kit would tell.",
    "feed.no2_open": "Nitrite is at the top of your kit, {low:mg/L} as N or more; feeding stops at {limit:mg/L}.",
    "feed.no2": "Nitrite may be {high:mg/L} as N; feeding stops at {limit:mg/L}.",
    # readings
    "read.last": "{tests}: last read on {last:day}, due every {every:count day}.",
    "read.not_yet": "Not read yet: {tests}.",
    "read.none_yet": "None of them has been read yet.",
    "read.never": "Neither has been read yet; nothing is dosed on a guess.",
    "read.why.cycling": "{tests}: to decide whether to refill or to hold.",
    "read.why.alarm": "{tests}: the first sign of trouble for fish.",
    "read.why.buffer": "{tests}: how much acid the loop can still take.",
    "read.why.plants": "{tests}: how many more plants the loop carries.",
    # room
    "room.title": "Room for {count}\u00a0more {crop} {count:word plant}.",
    "room.title_then": "Room for {count}\u00a0more {crop} {count:word plant} once there is enough {elements}.",
    "room.title_none": "No room for more plants yet.",
    "room.next": "{share:futures} carry {count}\u00a0more {crop} {count:word plant} to the end, {days} days.",
    "room.few_members": "Too few futures were run to say how many plants are safe. Run more members.",
    "room.next_none": "Even one more {crop} plant finds enough for its {days} days in fewer than {share:futures}.",
    "room.half": "At even chances it would be {count}, by nitrogen alone {nitrogen}.",
    "room.binds": "{limit} runs out first ({chance:chance}), about {days:count day} after planting.",
    "room.binds_now": "There is too little {limit} in the water already ({chance:chance}).",
    "room.then": "Once {elements} is added, {count}\u00a0{crop} {count:word plant} would find enough, with the same "
    "certainty.",
    "room.instead": "In their place it could be {choices}.",
    "room.no_feed": "No feed is given yet, so neither the feed rule nor nitrogen keeps anything planted for good.",
    "room.rule": "The feed rule ({low:g} to {high:g} of feed per m² a day) gives {m2_low:m²} to {m2_high:m²} in all.",
    "room.steady": "By nitrogen alone {low:m²} to {high:m²} could stay planted for good.",
    "room.differ": "Why they differ: that much feed holds {n_low:g} to {n_high:g} of nitrogen, while a square metre of "
    "{crop} takes up {demand:g} a day. Fish, air and solids get the rest, and the rule leaves a margin for what feed "
    "is short of.",
    "room.state.young": "The loop is young: little feed yet, so the store in the water counts more than the rule.",
    "room.state.ramping": "The ration is still changing, and the rule will move with it.",
    "room.state.steady": "Feed has been steady: the two views may be compared.",
    "room.staged": "Plant {count} first; {more} more when nitrate reads at least {reading} on two tests, some days "
    "apart: expected {when}.",
    "room.staged_first": "Plant {more} when nitrate reads at least {reading} on two tests, some days apart: expected "
    "{when}.",
    "room.staged_after": "Plant {count} first. Add {elements}, and {more} more may follow when nitrate reads at least "
    "{reading} on two tests, some days apart: expected {when}.",
    "room.staged_first_after": "Add {elements}, and {more} may go in when nitrate reads at least {reading} on two "
    "tests, some days apart: expected {when}.",
    "room.outgrown": "From {on:day} more nitrate is made than full beds can use: enough for {low:m²} to {high:m²} of "
    "{crop}, and there are {beds:m²}. Another bed, less feed or fresh water holds it down.",
    "room.full": "The beds have space for {count}\u00a0more {crop} {count:word plant}.",
    "room.supplement": "{element}: about {grams:g} must be added over the batch's life.",
    "sow.chance": "{chance:chance} that the loop is ready while the tray is {low} to {high} days old.",
    "pick.again": "Last picked on {on:day}; it grows back in about {days:count day}.",
    "pick.age": "Planted on {on:day}; the crop's first picking is due after {days} days.",
    # warnings
    "warn.again": "No feed until it reads below that. Read it again in {days:count day}.",
    "warn.o2": "Dawn oxygen may fall to {low:mg/L} on {on:day}; these fish need {limit:mg/L}.",
    "warn.ph": "pH reads {low} to {high}; below {limit} the bacteria slow down.",
    "warn.step": "Move pH by no more than {cap} in a day.",
    # coming up
    "soon.nitrate": "Nitrate in four weeks: {span:mg/L} as N.",
    "soon.weight": "Fish in four weeks: between {low:g} and {high:g} each.",
    "soon.ration": "Feed in four weeks: between {low:g} and {high:g} a day.",
    # expectations
    "expect.tan": "Ammonia should read about {value:mg/L} as N an hour later.",
    "expect.tan_slow": "An ammonia kit shows next to nothing of it for some days.",
    "expect.tan_falls": "Ammonia should be lower tomorrow. If it is not, wait and read again.",
    "expect.ph": "pH should go from about {before} to {at_once} at once, and to {later} once the air has "
    "evened it out.",
    "expect.eaten": "All of it should be eaten within ten minutes. If not, give less next time.",
    # honesty
    "note.prior": "Ranges come from general knowledge of such loops; they are not fitted to your log yet.",
    "note.no_fish": "No fish are in the log. Enter them to get a ration.",
    "note.starting": "The bacteria are still growing. Plant nothing before they have proved themselves: these figures "
    "only say what the water would carry.",
    "note.before_start": "Dated before the loop's start on {on:day} and left out: {count} in the log. Set an earlier "
    "start.",
    "note.stop": "The run {why}.",
    "note.unknown_source": "Your source water's {what} is not known. A test of it would sharpen pH and calcium.",
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
    "s": "sulfur",
    "na": "sodium",
    "cl": "chloride",
    "oxygen": "oxygen",
    "temp": "water temperature",
}
