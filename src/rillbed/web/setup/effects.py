"""What the answers change, and which of them are still guesses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rillbed import facts, words
from rillbed.garden.system import System
from rillbed.tongue import later, tr
from rillbed.web.setup.questions import said

LETTUCE = "lettuce_butterhead"  # one place is the space of one lettuce


@dataclass(frozen=True)
class Mark:
    """One line of what was told and what is not known: `state` is met, part or empty."""

    state: str
    what: str
    about: str


def effects(system: System) -> dict[str, str]:
    """Return what each question's answers come to, by the key of the question."""
    return {key: text for key, told in _EFFECTS.items() if (text := told(system))}


def _litres(cubic_metres: float) -> str:
    return words.amount(1000 * cubic_metres, "L", 3)


def _tanks(system: System) -> str:
    return words.say(
        "{volume} in tanks and sumps; the fish have {fish} of it when the pump stops.",
        volume=_litres(system.tank_volume_m3),
        fish=_litres(system.fish_tank_volume_m3),
    )


def _beds(system: System) -> str:
    if not system.beds:
        return ""
    places = int(system.bed_area_m2 * facts.crops()[LETTUCE].spacing_default_plants_m2)
    beds = _litres(system.total_volume_m3 - system.tank_volume_m3)
    area = words.amount(system.bed_area_m2, "m²", 3)
    return words.say(
        "{area} are {places} places, one place being the space of one lettuce. The beds hold {beds} of water.",
        area=area, places=places, beds=beds,
    )  # fmt: skip


def _where(system: System) -> str:
    if system.town is None:
        near = facts.nearest_town(system.latitude_deg, system.longitude_deg)
        return words.say("The weather is taken from the nearest station: {town}.", town=said(near))
    town = facts.towns()[system.town]
    coldest, warmest = min(m.tmin_c for m in town.months), max(m.tmax_c for m in town.months)
    return words.say(
        "Nights down to {coldest} in the coldest month, days up to {warmest} in the warmest, on average.",
        coldest=words.amount(coldest, "°C"),
        warmest=words.amount(warmest, "°C"),
    )


def _source(system: System) -> str:
    unknown = [mark for mark in guesses(system) if mark.state != "met"]
    if not unknown:
        return tr("Nothing about this water is guessed.")
    return words.say(
        "{n} of the answers are guessed until a test or a report gives them; they are listed at the end.",
        n=len(unknown),
    )


def _warmth(system: System) -> str:
    if system.heater_set_c is not None:
        warm = words.amount(system.heater_set_c, "°C", 3)
        return words.say("The water is kept from falling below {warm}.", warm=warm)
    if system.water_temp_c is not None:
        low, high = (words.amount(end(system.water_temp_c), "°C", 3) for end in (min, max))
        return words.say("Between {low} and {high} over the year, as you say.", low=low, high=high)
    return tr("Without a heater the water follows the weather: growth, appetite and bacteria slow down with it.")


def _start(system: System) -> str:
    return tr(_PATHS[system.startup_path])


def _fish(system: System) -> str:
    fed = ""
    if system.feed is not None and system.planned_feed_g_day:
        protein = facts.feeds()[system.feed].protein_pct * system.planned_feed_g_day / 100
        fed = words.say("The planned feed brings {protein} of protein a day.", protein=words.amount(protein, "g"))
    rows = [facts.species()[fish.species] for fish in system.planned_fish]
    told = dict.fromkeys(tr(text) for row in rows for text in (row.legal_caution, row.care_note) if text)
    return " ".join(filter(None, (fed, *told)))


_PATHS = {
    "fishless": later("The safest way: nothing can be harmed while the bacteria grow. Start-up says what to dose."),
    "fish_in": later("Slower and gentler. Feed stays small and nitrite is read often."),
    "stocked": later("Two tests show where the bacteria stand; the ration follows from them."),
    "running": later("Nothing has to be proved: the readings say where the loop stands."),
}
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
    "alkalinity_meq_l": (later("Alkalinity of the source water"), later("decides how often buffer is needed")),
    "ph": (later("pH of the source water"), later("decides what a top-up does")),
    "ca_mg_l": (later("Calcium of the source water"), later("decides whether calcium must be added")),
    "mg_mg_l": (later("Magnesium of the source water"), later("decides whether magnesium must be added")),
    "na_mg_l": (later("Sodium of the source water"), later("decides how much water must leave over the years")),
    "free_chlorine_mg_l": (later("Free chlorine of the source water"), later("test it before the first fish")),
    "chloramine_mg_l": (later("Chloramine of the source water"), later("ask the supplier before the first fish")),
}


def guesses(system: System) -> list[Mark]:
    """Return what is known of the source water and the kits, and what is still guessed."""
    out = []
    for name, (what, about) in _SOURCE.items():
        known = getattr(system.source_water, name) is not None
        told = tr("your answer") if known else words.say("not known: {about}", about=tr(about))
        out.append(Mark("met" if known else "", tr(what), told))
    for kit in system.kits:
        if kit.basis is None and kit.quantity in ("tan", "no2", "no3", "p"):
            what = words.say("What {kit} counts", kit=kit.name)
            out.append(Mark("part", what, tr("guessed as the element: look on the card")))
    return out
