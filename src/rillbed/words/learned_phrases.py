"""Sentences about what a log has taught, a start-up that stands still, and two futures side by side."""

REASONS: dict[str, str] = {
    # what the ranges rest on
    "note.prior": "The log holds no readings yet: ranges come from general knowledge of such loops.",
    "note.log": "The ranges are fitted to this log, which tells in {count:count place} how the loop is.",
    "note.quick": "A first answer from this log, which tells in {count:count place} how the loop is; the full answer "
    "is being worked out.",
    "note.unread": "A first answer from general knowledge and what was done; what the log tells of this loop in "
    "{count:count place} is being worked in.",
    "note.before": "A first answer by members fitted to the log as it was before its last entries; those are being "
    "worked in.",
    # fish or not
    "fish.not_proved": "No fish yet: it is not proved that a full day’s ammonia is gone in a day.",
    "fish.not_yet": "No fish yet: it is {chance:chance} that a full day’s ammonia would be gone in a day now.",
    "fish.ready": "Fish may go in, few at first: up to {first_g:g} of feed a day. The bacteria carry between "
    "{low:g} and {high:g} a day.",
    "fish.in": "The bacteria carry between {low:g} and {high:g} of feed a day now. Feed no more than the lower figure.",
    # what holds a start-up up
    "stall.moving": "The bacteria are growing as they should.",
    "stall.slow": "The bacteria hardly grow: they are to grow {growth} times in a week.",
    "stall.stalled": "The start-up stands still: the readings have not fallen for a week, and the bacteria are to grow "
    "only {growth} times in the next.",
    "stall.poisoned": "Chlorine was read in the loop: it kills the bacteria. What is forecast does not know of that.",
    "stall.temperature": "Cold water ({chance:chance}): between {low:°C} and {high:°C}.",
    "stall.ph": "pH ({chance:chance}): between {low} and {high}.",
    "stall.alkalinity": "Too little alkalinity ({chance:chance}): {span:meq/L}.",
    "stall.phosphorus": "Too little phosphorus ({chance:chance}): {span:mg/L}.",
    "stall.phosphorus_unread": "Too little phosphorus ({chance:chance}): it was read neither in the loop nor in the "
    "source water.",
    "stall.overdose": "Too much ammonia for the bacteria that eat nitrite ({chance:chance}): {span:mg/L} as N.",
    "stall.chlorine": "Chlorine or chloramine in the water that was added ({chance:chance}).",
    "stall.chlorine_read": "Chlorine or chloramine in the loop’s water ({chance:chance}): {span:mg/L}.",
    "stall.unlogged": "Something that is not in the log: a bed that dried out, a medicine, water let go "
    "({chance:chance}).",
    "stall.read": "One reading tells them apart best: {quantity}.",
    # what the next test should read
    "expected.reading": "{quantity} on {on:day}: {span:mg/L}.",
    "expected.ph": "pH on {on:day}: between {low} and {high}.",
    # odd readings
    "odd.water_left": "{quantity} of {on:day} does not fit: between {low} and {high} was to be expected. Misread, or "
    "did about {litres:L} of water leave?",
    "odd.more_came_in": "{quantity} of {on:day} does not fit: between {low} and {high} was to be expected. "
    "Misread, or did something come in, such as feed or a dead fish?",
    "odd.salt_came_in": "{quantity} of {on:day} does not fit: between {low} and {high} was to be expected. "
    "Misread, or did salt or a supplement go in that is not in the log?",
    # what would sharpen
    "want.weigh_harvest": "Weigh a picking: it tells how much the plants take up.",
    "want.log_topup": "Write down the litres you top up: they tell how much water is lost.",
    "want.weigh_scoop": "Weigh one scoop of feed: the ration is the loop’s nitrogen.",
    "want.weigh_fish": "Weigh some fish: they tell how fast the fish grow.",
    "want.test_potassium": "Test potassium: plants take it up first.",
    "want.test_alkalinity": "Test alkalinity: it holds the pH.",
    "want.measure_temperature": "Measure the water’s temperature: everything goes by it.",
    "want.ask_kit_basis": "Say in the set-up what your kits count: nitrogen alone, or the whole ion.",
    # learned
    "learned.direction": "{names}: the range is {share} in 10 of what it was before the log.",
    # forecasts held against readings
    "trust.none": "No forecast can be held against a reading yet.",
    "trust.score": "{inside} of {count:count reading} fell inside the range that was foreseen for 8 in 10.",
}

NAMES: dict[str, str] = {
    "mu_a": "growth of the ammonia eaters",
    "mu_n": "growth of the nitrite eaters",
    "theta_a": "how cold slows the ammonia eaters",
    "theta_n": "how cold slows the nitrite eaters",
    "decay": "how fast bacteria die off",
    "cap_a0": "ammonia eaters at the start",
    "cap_n0": "nitrite eaters at the start",
    "cap_max": "most bacteria the beds hold",
    "k_tan": "ammonia they leave over",
    "k_no2": "nitrite they leave over",
    "alk_half_startup": "their need of alkalinity",
    "alk_half_mature": "their need of alkalinity once ripe",
    "ki_nh3": "how ammonia hurts the nitrite eaters",
    "uneaten": "feed left uneaten",
    "faecal": "feed that leaves as solids",
    "solids_k": "how fast solids break down",
    "organic_k": "how fast organic nitrogen comes free",
    "coupled_share": "nitrogen lost to the air beside the bacteria",
    "k_denit": "nitrate lost to the air",
    "respiration": "oxygen that is used up",
    "kla_o2": "how well air goes in",
    "dm_gain": "growth of the plants",
    "et_factor": "water lost to the air",
    "tgc_factor": "growth of the fish",
    "fcr_factor": "feed the fish need to grow",
    "k_lux_pct": "potassium that plants take beyond need",
    "k_crit_pct": "potassium that plants need",
    "fe_loss": "iron lost",
    "xi_source": "nitrogen that comes in, month by month",
    "xi_sink": "nitrogen that is taken out, month by month",
    "xi_nitrif": "work of the bacteria, month by month",
    "season": "how warm the water is",
}
"""Plain names of what the members differ in; a kit, an eye and a weighing have names made from theirs."""
