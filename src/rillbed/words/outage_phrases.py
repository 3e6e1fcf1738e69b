"""Sentences about oxygen and outages, by code: acts in a crisis, why, warm days. No figure of their own."""

from __future__ import annotations

# What to do; the amount stands apart.
ACTS: dict[str, str] = {
    "stop_feed": "Stop feeding, all tanks",
    "check_switch": "Look at the safety switch and the plug, with dry hands; switch back on once only",
    "air": "Battery air into {tank}",
    "pour": "Scoop water out of {tank} and pour it back from waist height, again and again",
    "thin": "Move fish out of {tank}, the biggest first",
    "change": "Let fresh, treated water into {tank} over a fall",
    "cool": "Shade {tank} and keep it from warming; if you cool it, at most by",
    "generator": "Start a generator, outdoors only",
    "back_on": "When power is back: pump and air first, heater and light last, no feed yet",
    "test_after": "Test ammonia and nitrite one and two days later",
    "alarm": "Keep ready for the next time: an alarm for power, a battery air pump for {tank}, and a battery of",
}

REASONS: dict[str, str] = {
    "outage.fed": "Fed fish use {ratio} times as much oxygen. No feed for {hours:h} after it is over.",
    "outage.lasts": "{species} can fail after {minutes} minutes: {density:kg/m³} of fish, and {level:mg/L} is the "
    "least they survive.",
    "outage.pour": "A fall of {height:m} takes up oxygen. One person covers about {tenths} tenths of what is used.",
    "outage.thin": "{from_tank} is fuller than {to_tank}; both would hold {density:kg/m³}.",
    "outage.change": "Fresh water brings oxygen and takes waste away. It must hold no chlorine and be as warm as "
    "the tank.",
    "outage.cool": "Cooler water holds more oxygen and fish breathe less, but a fast change harms them.",
    "outage.back_on": "Beds that stood wet without flow may have gone bad: let their first water run to waste. No feed "
    "for {hours:h}.",
    "outage.test_after": "Bacteria suffer too: ammonia and nitrite may rise. Take out dead fish at once.",
    "outage.battery": "{watts:W} of air for {hours:h} at {volts:V}, with half of a lead battery's charge. The label of "
    "your pump goes before this.",
    "outage.no_fish": "No fish are in the log, so nothing can be said about how long they last.",
    "outage.oxygen_assumed": "Oxygen was not read: {oxygen:mg/L} by day is assumed.",
    "outage.temp_assumed": "Temperature was not read: {temp:°C} is assumed.",
    "outage.beyond": "{species}: what they breathe was measured at {measured:°C}; at {temp:°C} the figure is "
    "stretched, so keep to the cautious end.",
    "outage.shared": "The log does not say which fish are in which of the {count:count tank}; they are shared out by "
    "volume. Name a group like its tank to tell them apart.",
    "warm.take_out": "{species}: water may reach {peak:°C}, too near the {lethal:°C} that kill. Harvest them, or move "
    "them to cooler water, the day before.",
    "warm.no_feed": "{species}: no feed. The water may reach {peak:°C}; they live well up to {most:°C}.",
    "warm.less_feed": "{species}: half the feed, in the cool of the morning. Above {best:°C} they use more air "
    "than feed is worth.",
    "warm.more_air": "{species}: oxygen may fall to {oxygen:mg/L}, under the {least:mg/L} they should have. Add air "
    "before the warm hours and through the night.",
    "warm.shade": "Shade tanks and beds by day; let water run over the beds at night only.",
    "warm.no_ice": "No ice thrown in: cool no faster than {rate:°C} an hour.",
}
