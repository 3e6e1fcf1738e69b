"""What the log itself answers: fresh water, sprays, doses, new fish, machines, cleaning; nobody is asked again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed import facts
from rillbed.facts import trouble
from rillbed.garden.fold import LoopState
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Cleaned, Dosed, Outage, Planted, Spray, ToppedUp, WaterChanged
from rillbed.garden.system import System

# Supplies by what putting them in means for the fish.
SUPPLIES = {
    "potassium_hydroxide": ("base", "large"), "calcium_hydroxide": ("base", "large"),
    "potassium_bicarbonate": ("base", "small"), "sodium_bicarbonate": ("base", "small"),
    "potassium_carbonate": ("base", "small"), "calcium_carbonate": ("base", "small"), "dolomite": ("base", "small"),
    "hydrochloric_acid": ("acid", "mineral"), "phosphoric_acid": ("acid", "mineral"),
    "sodium_chloride": ("medicine", "salt"), "iron_edta": ("iron_given", "yes"), "iron_dtpa": ("iron_given", "yes"),
    "iron_eddha": ("iron_given", "yes"), "iron_hbed": ("iron_given", "yes"),
}  # fmt: skip
SPRAYS = {"soap": "soap", "detergent": "soap", "paint": "paint", "varnish": "paint", "bleach": "cleaner"}
MACHINES = {"pump": "pump", "air": "air"}
YOUNG_DAYS, RIPE_DAYS = 56, 182


def logged(system: System, log: Sequence[LogEntry], state: LoopState, on: date) -> dict[str, str]:
    """Answers to clues that entries of the log give, those still true on a day."""
    found: dict[str, str] = {}
    for entry in log:
        answer = _answer(entry)
        if answer is not None:
            clue, said = answer
            if (on - system.day_of(entry.at)).days <= trouble.clues()[clue].days:
                found[clue] = said
    window = facts.value("trouble.window_days")
    for group in state.groups.values():
        day = system.day_of(group.arrived_at)
        if day > system.started_on and (on - day).days <= window:
            found["new_fish"] = "yes"
    for equipment, _ in state.stopped:
        if equipment in MACHINES:
            found[MACHINES[equipment]] = "stopped"
        elif equipment == "heater":
            found["heater"] = "failed"
    if system.startup_path in ("fishless", "fish_in"):
        age = (on - system.started_on).days
        found["stage"] = "cycling" if age < YOUNG_DAYS else "young" if age < RIPE_DAYS else "ripe"
    return found


def _answer(entry: LogEntry) -> tuple[str, str] | None:
    payload = entry.payload
    if isinstance(payload, WaterChanged | ToppedUp):
        if isinstance(payload, ToppedUp) and payload.source == "rain":
            return None
        return "change", "treated" if payload.treated else "untreated"
    if isinstance(payload, Spray):
        name = payload.substance.lower()
        return "spray", next((kind for word, kind in SPRAYS.items() if word in name), "pesticide")
    if isinstance(payload, Dosed):
        return SUPPLIES.get(payload.substance)
    if isinstance(payload, Cleaned):
        return "washed", "all" if payload.fraction > 0.5 else "part"
    if isinstance(payload, Planted):
        return "transplanted", "yes"
    if isinstance(payload, Outage):
        return "power", "off" if payload.until is None else "was_off"
    return None


def fed_g_day(state: LoopState, on: date) -> float | None:
    """Mean feed of the last week, g/day; ``None`` if none was logged."""
    days = [grams for day, grams in state.fed_g_by_day.items() if 0 <= (on - day).days < 7]
    return sum(days) / 7.0 if days else None
