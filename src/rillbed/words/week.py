"""What is to do on a day, in a line each."""

from __future__ import annotations

from rillbed import facts, words
from rillbed.plan.week import Task
from rillbed.tongue import tr
from rillbed.words.numbers import filled, listed

LINES = {
    "feed": "Feed {grams:g} at each of {meals:count meal}",
    "read": "Test {tests}",
    "upkeep": "{job}",
    "sow": "Sow {count} {crop}",
    "transplant": "Set out {count} {crop} in {bed}",
    "pick": "Pick {crop} in {bed}",
    "sow_tray": "Sow a tray of leafy seedlings",
    "ready": "The bacteria may be ready",
    "arrive": "{count} {species} arrive",
    "prepare": "Before {name}: weigh out the feed, try whatever feeds, clean no bed",
    "prepare_none": "Before {name}: clean no bed, look at pump and air",
    "hand_over": "Hand over to {by}: {name} from tomorrow until {last:day}",
    "leave": "{name} from tomorrow until {last:day}; nobody feeds",
    "away": "{name}: {by} feeds, until {last:day}",
    "away_none": "{name}: nobody feeds, until {last:day}",
    "back": "Back from {name}: feed what Today says, test on the second day",
}


def task(item: Task) -> str:
    """Say one thing to do."""
    values: dict[str, object] = dict(item.values)
    if isinstance(tests := values.get("quantities"), tuple):
        values["tests"] = listed(words.quantity(str(one)) for one in tests)
    if isinstance(job := values.get("job"), str):
        values["job"] = tr(facts.upkeep()[job].name)
    if isinstance(crop := values.get("crop"), str):
        values["crop"] = words.crop(crop)
    if isinstance(species := values.get("species"), str):
        values["species"] = words.shoal("0" * 32, species)
    return filled(LINES[item.code], values)
