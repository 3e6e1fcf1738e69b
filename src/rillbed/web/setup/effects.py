"""What the answers change, and which of them are still guesses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rillbed import facts, words
from rillbed.garden.system import System

LETTUCE = "lettuce_butterhead"  # one place is the space of one lettuce


@dataclass(frozen=True)
class Mark:
    """One line of what was told and what is not known: `state` is met, part or empty."""

    state: str
    what: str
    about: str


def effects(system: System) -> dict[str, str]:
    """Return what each question's answers come to, by the key of the question."""
    return {key: text for key, say in _EFFECTS.items() if (text := say(system))}


def _litres(cubic_metres: float) -> str:
    return words.amount(1000 * cubic_metres, "L", 3)


def _tanks(system: System) -> str:
    return (
        f"{_litres(system.tank_volume_m3)} in tanks and sumps; the fish have "
        f"{_litres(system.fish_tank_volume_m3)} of it when the pump stops."
    )


def _beds(system: System) -> str:
    if not system.beds:
        return ""
    places = int(system.bed_area_m2 * facts.crops()[LETTUCE].spacing_default_plants_m2)
    beds = _litres(system.total_volume_m3 - system.tank_volume_m3)
    area = words.amount(system.bed_area_m2, "m²", 3)
    return f"{area} are {places} places, one place being the space of one lettuce. The beds hold {beds} of water."


def _where(system: System) -> str:
    if system.town is None:
        near = facts.nearest_town(system.latitude_deg, system.longitude_deg)
        return f"The weather is taken from the nearest station: {near.name}, {near.country}."
    town = facts.towns()[system.town]
    coldest, warmest = min(m.tmin_c for m in town.months), max(m.tmax_c for m in town.months)
    return (
        f"Nights down to {words.amount(coldest, '°C')} in the coldest month, days up to "
        f"{words.amount(warmest, '°C')} in the warmest, on average."
    )


def _source(system: System) -> str:
    unknown = [mark for mark in guesses(system) if mark.state != "met"]
    if not unknown:
        return "Nothing about this water is guessed."
    return f"{len(unknown)} of the answers are guessed until a test or a report gives them; they are listed at the end."


def _warmth(system: System) -> str:
    if system.heater_set_c is not None:
        return f"The water is kept from falling below {words.amount(system.heater_set_c, '°C', 3)}."
    if system.water_temp_c is not None:
        low, high = min(system.water_temp_c), max(system.water_temp_c)
        return f"Between {words.amount(low, '°C', 3)} and {words.amount(high, '°C', 3)} over the year, as you say."
    return "Without a heater the water follows the weather: growth, appetite and bacteria slow down with it."


def _start(system: System) -> str:
    return {
        "fishless": "The safest way: nothing can be harmed while the bacteria grow. Start-up says what to dose.",
        "fish_in": "Slower and gentler. Feed stays small and nitrite is read often.",
        "stocked": "Two tests show where the bacteria stand; the ration follows from them.",
        "running": "Nothing has to be proved: the readings say where the loop stands.",
    }[system.startup_path]


def _fish(system: System) -> str:
    fed = ""
    if system.feed is not None and system.planned_feed_g_day:
        protein = facts.feeds()[system.feed].protein_pct * system.planned_feed_g_day / 100
        fed = f"The planned feed brings {words.amount(protein, 'g')} of protein a day."
    rows = [facts.species()[fish.species] for fish in system.planned_fish]
    told = dict.fromkeys(text for row in rows for text in (row.legal_caution, row.care_note))
    return " ".join(filter(None, (fed, *told)))


_EFFECTS: dict[str, Callable[[System], str]] = {
    "where": _where,
    "tanks": _tanks,
    "beds": _beds,
    "source": _source,
    "warmth": _warmth,
    "start": _start,
    "fish": _fish,
}

_SOURCE = {
    "alkalinity_meq_l": ("Alkalinity of the source water", "decides how often buffer is needed"),
    "ph": ("pH of the source water", "decides what a top-up does"),
    "ca_mg_l": ("Calcium of the source water", "decides whether calcium must be added"),
    "mg_mg_l": ("Magnesium of the source water", "decides whether magnesium must be added"),
    "na_mg_l": ("Sodium of the source water", "decides how much water must leave over the years"),
    "free_chlorine_mg_l": ("Free chlorine of the source water", "test it before the first fish"),
    "chloramine_mg_l": ("Chloramine of the source water", "ask the supplier before the first fish"),
}


def guesses(system: System) -> list[Mark]:
    """Return what is known of the source water and the kits, and what is still guessed."""
    out = []
    for name, (what, about) in _SOURCE.items():
        known = getattr(system.source_water, name) is not None
        out.append(Mark("met" if known else "", what, "your answer" if known else f"not known: {about}"))
    for kit in system.kits:
        if kit.basis is None and kit.quantity in ("tan", "no2", "no3", "p"):
            what = f"What {kit.name} counts"
            out.append(Mark("part", what, "guessed as the element: look on the card"))
    return out
