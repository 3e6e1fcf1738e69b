"""What sizing asks: all in the address, so that an answer can be sent to somebody."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from rillbed import facts
from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.plan.size import Wish, size
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field, Options
from rillbed.web.setup.measures import kept, number
from rillbed.web.setup.questions import PLACES, towns

Typed = Mapping[str, str]

STARTS = {
    "appetite": later("Appetite"),
    "space": later("Space"),
    "fish": later("Fish"),
}
GROUNDS = (
    ("soil", later("soil or a ground floor")),
    ("concrete", later("concrete on soil")),
    ("upper", later("a room is below it")),
)
BEDS = (("media", later("filled with a medium")), ("raft", later("raft")), ("nft", later("pipes")))
YES_NO = (("", later("no, new to it")), ("1", later("years of practice, alarms")))
SHELF = (("", later("yes, from the shelf")), ("1", later("no, feed alone")))


def _species() -> Options:
    return sorted(((key, tr(row.common_name)) for key, row in facts.species().items()), key=lambda pair: pair[1])


def _media() -> Options:
    return [("", later("not chosen yet")), *((key, row.name) for key, row in facts.media().items())]


def _towns() -> Options:
    return [("", later("choose …")), *towns()]


FIRST = {
    "appetite": (
        Field("greens_week", later("Greens, portions a week"), "number", help=later("A portion is about 80 g.")),
        Field("fish_month", later("Fish, portions a month"), "number"),
        Field("floor_m2", later("Floor there is"), "number", measure="area", help=later("Empty if there is plenty.")),
    ),
    "space": (Field("floor_m2", later("Floor there is"), "number", measure="area", help=later("Paths included.")),),
    "fish": (
        Field("fish_count", later("Fish you would like to keep"), "number"),
        Field("floor_m2", later("Floor there is"), "number", measure="area", help=later("Empty if there is plenty.")),
    ),
}
WHERE = (
    Field("town", later("Nearest town"), "choice", _towns, help=later("Pick the one whose winter is like yours.")),
    Field("place", later("The beds stand"), "choice", lambda: PLACES),
    Field("species", later("Fish"), "choice", _species),
    Field("bed_kind", later("Kind of bed"), "choice", lambda: BEDS),
    Field("ground", later("It stands on"), "choice", lambda: GROUNDS),
)
MORE = (
    Field("heater_set_c", later("Heated to"), "number", measure="temperature", help=later("Empty: no heater.")),
    Field("medium", later("Medium"), "choice", _media),
    Field(
        "seasoned",
        later("Kept fish before?"),
        "choice",
        lambda: YES_NO,
        help=later("Beginners keep half as many in a tank."),
    ),
    Field("feed_only", later("Iron, potassium, calcium added?"), "choice", lambda: SHELF),
    Field("source_na_mg_l", later("Sodium of the tap water"), "number", measure="mg_l"),
    Field("kwh_price", later("Price of a kWh"), "number", help=later("In your money; empty leaves it out.")),
    Field("feed_price_kg", later("Price of a kg of feed"), "number"),
)
NUMBERS = (
    "greens_week", "fish_month", "fish_count", "floor_m2", "heater_set_c", "source_na_mg_l", "kwh_price",
    "feed_price_kg",
)  # fmt: skip
CHOICES = ("place", "species", "bed_kind", "ground")


def fields(start: str) -> tuple[Field, ...]:
    """Give every field of the form for one way to start."""
    return (*FIRST[start], *WHERE, *MORE)


def fresh(start: str, town: str = "") -> dict[str, str]:
    """Return what the form starts with: a median home unit, where the loop stands that there is."""
    first = {
        "appetite": {"greens_week": "14", "fish_month": "4"},
        "space": {"floor_m2": "8"},
        "fish": {"fish_count": "20"},
    }
    rest = {"place": "greenhouse", "species": "nile_tilapia", "bed_kind": "media", "ground": "soil", "town": town}
    return first[start] | rest


def wish_of(start: str, typed: Typed) -> Wish:
    """Read the form.

    Raises
    ------
    GardenError
        For the first value that cannot be.
    """
    data: dict[str, Any] = {name: typed[name] for name in CHOICES if typed.get(name)}
    asked = {field.name: field for field in fields(start)}
    for name in NUMBERS:
        text = typed.get(name, "").strip()
        if not text or name not in asked:
            continue
        if asked[name].measure:
            data[name] = kept(name, asked[name].measure, typed)
        else:
            data[name] = number(name, text)
    town = typed.get("town", "")
    if town not in facts.towns():
        raise GardenError("town", town, tr("choose one from the list"))
    where = facts.towns()[town]
    data |= {"town": town, "latitude_deg": where.latitude_deg, "longitude_deg": where.longitude_deg}
    data |= {"elevation_m": max(where.elevation_m, 0.0), "medium": typed.get("medium") or None}
    data |= {"seasoned": typed.get("seasoned") == "1", "supplements": typed.get("feed_only") != "1"}
    return Wish(**{"species": "", **data})


def taken(typed: Typed, on: date) -> System | None:
    """Give the loop chosen among those of an address, None where none is asked for or the address is no longer good."""
    try:
        options = size(wish_of(typed.get("start", ""), typed), on).options if typed.get("take") else ()
    except (GardenError, KeyError):
        return None
    return next((option.system for option in options if option.code == typed.get("take")), None)
