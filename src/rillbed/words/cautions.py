"""Every caution there is, in one place: what is said at the action it belongs to."""

from __future__ import annotations

from collections.abc import Iterable

from rillbed.tongue import tr

CAUTIONS: dict[str, str] = {
    # What goes into the water.
    "ammonia.pure": "Only ammonia free of scent, colour and surfactants: shake the bottle; foam that stays means no.",
    "ammonia.bleach": "Never bring ammonia near bleach: the gas is poisonous.",
    "ammonia.protect": "Gloves, eye protection and fresh air. Pour ammonia into water, never the other way round.",
    "ammonia.no_fish": "No animals in the water while ammonia is dosed.",
    "ammonia.ph_jump": "Raises pH at once: give it in parts where the water moves.",
    "ammonia.additives": "Only without coating and without urease or nitrification inhibitors.",
    "ammonia.delayed": "An ammonia kit does not see it yet: do not dose again because the kit reads low.",
    "organic.oxygen": "Uses much oxygen while it breaks down, smells and draws animals. Keep the air on.",
    "chlorine.first": "Remove chlorine and chloramine from fresh water first.",
    "chlorine.test": "Test for chlorine afterwards: a strip that shows nothing is no proof below 0.1 mg/L.",
    "base.caustic": "Caustic: gloves and eye protection, keep children away.",
    "base.dilute": "Dilute at least a hundredfold and pour it into the sump or the flow, never beside fish.",
    "iron.split": "Give it in two parts a day apart where trout or fry swim. Not on a day on which you raise pH.",
    "salt.sodium": "Sodium stays in the loop and harms plants: keep it under 50 mg/L, and do not make it a routine.",
    "seaweed.not_for_cycling": "No ammonia source: it brings almost no nitrogen.",
    "seaweed.foam": "Foams, uses oxygen and feeds algae: little at a time.",
    "trace.narrow": "The step from enough to too much is small: weigh it to a tenth of a gram.",
    "salt.plain": "Salt without iodide or anti-caking agents.",
    "salt.parts": "Dissolve it first and give it in three parts over the day, not beside the fish.",
    "salt.plants": "Strawberries and beans suffer first. Salt only leaves with the water you change.",
    "upkeep.unplug": "Unplug first. Never one hand in the water and the other on a plug.",
    "upkeep.third": "Never more than a third of what holds bacteria within two weeks, and never with tap water.",
    "upkeep.switch": "If it does not trip or hold, leave it off and call an electrician. Air for the fish first.",
    "upkeep.electrician": "Anything scorched, cracked or wet inside is for a licensed electrician. Do not open it.",
    "electricity": "Unplug before hands go in the water. Dry hands, mains through a residual-current switch, a drip "
    "loop in every cable.",
    "chemicals.store": "Keep it locked, dry and labelled, away from children and food.",
    "chemicals.never_mix": "Never mix it with base, bleach or any other cleaner.",
    "acid.into_water": "Acid into water, never water into acid. Gloves, goggles, fresh air.",
    "salt.hot": "Calcium chloride gets hot as it dissolves: cold water first, then the salt, little by little.",
    "kit.reagents": "Reagents can burn, and some hold metals: rinse spills, keep them from children, and pour no tube "
    "back into the loop.",
    "media.rinse": "Rinse off the dust first; it clouds the water.",
    "water.lift": "A full bucket is heavy, and small children drown in very little water: lift with help, empty every "
    "bucket, keep lids on.",
    # When air or power fails.
    "electricity.battery": "Keep the battery dry, off the floor and away from the water's edge; fuse its cable.",
    "generator.outdoors": "A generator's exhaust kills without a smell: outdoors only, six metres from doors and "
    "windows, never in a shed or greenhouse. Plug in single appliances; wiring it to the house is an electrician's "
    "work.",
    "fish.handling": "Wet hands and a soft net, no longer than half a minute out of water. Cover cuts on your hands.",
    # In trouble.
    "trouble.electrician": "Wiring is for a licensed electrician.",
    "trouble.hands": "Gloves over cuts, and wash after: some fish germs infect people.",
    "trouble.discharge": "Old water and sludge go on soil, not into a drain to a stream; follow local rules.",
    "trouble.one_base": "Goggles and gloves; dissolve in a bucket first; at most 0.2 of pH a day.",
    "trouble.feed_rise": "Only if ammonia and nitrite read nothing.",
    "trouble.seed": "From a loop without sick fish only.",
    "trouble.welfare": "Fish are protected animals: stun before killing, no slow death; follow local law.",
    "trouble.law": "Many kinds need a permit and none may be released: ask the fisheries office.",
    "trouble.vet": "Which illness and which medicine is for a vet to say.",
    "trouble.authority": "Some fish diseases must be reported by law.",
    "trouble.food": "Found dead, treated or poisoned: not for the table.",
    "trouble.withdrawal": "After medicine keep the waiting time on the label before eating fish or plants.",
    "trouble.spray": "Read the label: most insect sprays, also those from plants, kill fish.",
    "trouble.lifting": "Wet gravel weighs about 2 kg a litre: lift little, mind the stand.",
    # Sprays, and food from leaves.
    "spray.label": "Follow the label, and its waiting time before picking.",
    "spray.little": "Use as little as wets the leaf; let nothing run off.",
    "spray.moves_ph": "What drips in raises pH a little.",
    "spray.gills": "Soap in the water damages gills.",
    "spray.barrier": "Nothing may drip into the water: lift the plant off or lay a sheet, and put it back dry.",
    "spray.film": "A film of oil on the water keeps air out.",
    "spray.toxic": "A few milligrams in a litre harm fish.",
    "spray.water_life": "It kills small animals of the water.",
    "spray.dry_land": "On dry ground only.",
    "spray.dust": "Do not breathe the dust.",
    "spray.kills_fish": "It kills fish in tiny amounts.",
    "spray.kills_filter": "It kills the bacteria of the filter.",
    "spray.salt": "Salt stays in the loop; plants suffer first.",
    "spray.germs": "Keep it off leaves that are eaten, and do not pump it round.",
    "food.no_wet_leaves": "Fish water never touches leaves that are eaten: water from below.",
    "food.no_warm_blooded_manure": "No manure of warm-blooded animals, compost tea or worm tea on the loop.",
    "food.roots_peel_or_cook": "What grew in the water as a root is peeled or cooked.",
    "food.flukes": "Grown out of doors in open water it can carry flukes: cook it if snails or animals get there.",
    "food.keep_animals_out": "Keep birds, rodents, cats, dogs and poultry out: germs come from warm-blooded animals.",
    "food.sprayed": "Something was sprayed lately: mind the waiting time of its label.",
    "food.organic_dose": "Seaweed or fish emulsion went in lately: rinse with special care.",
    "food.hands_and_knife": "Wash hands after touching fish; keep a clean knife and a clean basket for plants only.",
    "food.rinse_and_chill": "Leave what fell into the water. Rinse in drinking water and chill within two hours.",
    "food.weak_people_cook": "For small children, old, pregnant or ill people: cook leafy greens.",
    # On forms of the log.
    "fish.law": "Ask your fisheries office which kinds may be kept, bought alive and moved; never release any.",
    "fish.welfare": "Fish are animals in your care, in many places by law: look after them every day, also on holiday, "
    "and learn from somebody licensed to stun before you kill.",
    "fish.quarantine": "New fish can bring disease: keep them apart for some weeks first, in water of their own.",
    "fish.many_dead": "Many dead within a day, or signs of a disease that must be reported: tell a vet or the "
    "fisheries authority before you move, bury or eat anything.",
    "fish.stun": "Fish that are to be eaten are stunned before they are killed. Learn it from somebody licensed; "
    "rules differ.",
    "fish.wet_hands": "Wet hands, no food the day before, back in the water within seconds.",
    "spray.write_in": "Write what is in it. What is in no table is held as not for use over fish.",
    "water.tap_left": "Chlorine and chloramine out first, fresh water within a few degrees of the tank; a tap left "
    "running kills.",
}

# Codes of trouble that say the same as one above; both stay, for files that name them.
SAME = {
    "trouble.electric": "electricity",
    "trouble.generator": "generator.outdoors",
    "trouble.bucket": "water.lift",
}


def caution(code: str) -> str:
    """Sentence of a caution.

    Raises
    ------
    KeyError
        If a code has none; a test holds that every one has.
    """
    return tr(CAUTIONS[SAME.get(code, code)])


def cautions(codes: Iterable[str]) -> tuple[str, ...]:
    """Sentences of cautions in their order, each once."""
    return tuple(dict.fromkeys(map(caution, codes)))
