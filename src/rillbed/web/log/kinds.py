"""The fields of each kind of entry: the same whether it is written, corrected or done."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rillbed import facts, words
from rillbed.garden.known import supplies
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.state import LoopState
from rillbed.web.setup.fields import Field

NONE = ("", "not said")
CHOOSE = ("", "choose …")
SEEN = (
    "fish at the surface", "fish do not eat", "fish dart or rub", "fish hide", "water cloudy", "water smells", "algae",
    "old leaves yellow", "young leaves yellow", "leaf edges brown", "insects on plants", "roots brown", "pump weak",
    "leak", "something else",
)  # fmt: skip
EQUIPMENT = ("pump", "air", "heater", "siphon", "light", "filter", "other")
UNITS = ("mg/L", "meq/L", "dKH", "ppm_CaCO3", "mS/cm")


@dataclass(frozen=True)
class Kind:
    """A kind of entry: how a button names it, among which others it stands, and its fields for a loop."""

    key: str
    title: str
    family: str
    fields: Callable[[LoopState], tuple[Field, ...]]


def kind_of(key: str) -> Kind | None:
    """Return a kind that can be typed, None for the others."""
    return next((one for one in KINDS if one.key == key), None)


def families() -> list[tuple[str, list[Kind]]]:
    """Return the kinds by family, both in the order in which they are offered."""
    names = dict.fromkeys(one.family for one in KINDS)
    return [(name, [one for one in KINDS if one.family == name]) for name in names]


def _choice(name: str, label: str, options: Iterable[tuple[str, str]], help: str = "") -> Field:
    found = tuple(options)
    return Field(name, label, "choice", lambda: found, help=help)


def _chosen(name: str, label: str, options: Iterable[tuple[str, str]], help: str = "") -> Field:
    """List that begins empty unless there is one answer only: nothing is written that nobody chose."""
    found = tuple(options)
    return _choice(name, label, found if len(found) == 1 else (CHOOSE, *found), help)


def _picks(name: str, label: str, *options: tuple[str, str]) -> Field:
    return Field(name, label, "picks", lambda: options)


def _called(key: str, own: Mapping[str, str] = MappingProxyType({})) -> str:
    if key in own:
        return own[key]
    rows: dict[str, object] = {**facts.species(), **facts.crops(), **supplies()}
    row = rows[key]
    return str(getattr(row, "common_name", "") or getattr(row, "name", key))


def _named(table: Iterable[str], own: Mapping[str, str] = MappingProxyType({})) -> list[tuple[str, str]]:
    return [(key, _called(key, own)) for key in table]


def _feed(state: LoopState) -> Field:
    first = [state.feed] if state.feed else []
    return _choice("feed", "Feed", _named(dict.fromkeys([*first, *facts.feeds()])))


def _groups(state: LoopState, *more: tuple[str, str]) -> Field:
    found = [
        (
            group.name,
            f"{group.count} {_called(group.species)}, in since {words.day(state.system.day_of(group.arrived_at))}",
        )
        for group in state.groups.values()
        if group.count
    ]
    return _choice("group", "Which fish", [*more, *found]) if more else _chosen("group", "Which fish", found)


def _plantings(state: LoopState) -> Field:
    found = [
        (one.name, f"{_called(one.crop)} in {one.bed or one.tray}, {words.day(state.system.day_of(one.planted_at))}")
        for one in reversed(state.plantings.values())
        if one.standing
    ]
    return _chosen("planting", "Which plants", found)


def _bed_names(state: LoopState) -> list[tuple[str, str]]:
    return [(bed.name, bed.name) for bed in state.system.beds]


def _count(label: str = "How many", help: str = "") -> Field:
    return Field("count", label, "whole", help=help)


def _mass(name: str, label: str, help: str = "") -> Field:
    return Field(name, label, "number", measure="mass", help=help)


def _volume() -> Field:
    return Field("volume", "How much", "number", measure="volume")


TREATED = Field("treated", "chlorine was removed first", "check")


def _planted(state: LoopState) -> tuple[Field, ...]:
    trays = [(one.tray or "", f"{one.tray}, {_called(one.crop)}") for one in state.trays.values() if one.standing]
    return (
        _chosen("crop", "What", sorted(_named(facts.crops()), key=lambda pair: pair[1])),
        _count(),
        _choice("bed", "Bed", [*_bed_names(state), ("", "none, into a tray")]),
        Field("tray", "Tray", help="a name for the tray, if sown there and not in a bed"),
        _choice("from_tray", "Out of the tray", [("", "no tray, or bought"), *trays]),
        _picks("stage", "Set out as", ("seedling", "seedlings"), ("seed", "seed")),
    )


def _dosed(state: LoopState) -> tuple[Field, ...]:
    own = {item.id: item.name for item in state.system.products}
    shelf = dict.fromkeys([*state.system.shelf, *own, *supplies()])
    return (
        _chosen(
            "substance",
            "What",
            _named(shelf, own),
            "what stands on your shelf comes first",
        ),
        Field("amount", "How much", "number", measure="dose"),
        Field("strength_pct", "Strength of a solution", "number", unit="%", help="0 to 100; empty for a solid"),
        Field("density_g_ml", "Its density", "number", unit="g/mL", help="0.5 to 2; empty if not known"),
    )


def _cleaned(state: LoopState) -> tuple[Field, ...]:
    places = [*(bed.name for bed in state.system.beds), *(tank.name for tank in state.system.tanks)]
    return (
        _chosen("what", "What", [(name, name) for name in (*places, "filter", "pump")]),
        _picks("fraction", "How much of its dirt left the loop", *FRACTIONS),
    )


FRACTIONS = (("1", "all"), ("0.75", "three quarters"), ("0.5", "half"), ("0.25", "a quarter"))


def _reading(_: LoopState) -> tuple[Field, ...]:
    names = [(key, one.name) for key, one in QUANTITIES.items() if key != "temperature"]
    return (
        _chosen("quantity", "What was read", names),
        Field("value", "It showed", "number", help="one number of a meter, or the step of a card"),
        Field("low", "or at least", "number", help="for a range, or the open end of a card"),
        Field("high", "and at most", "number"),
        _choice("unit", "Unit", [("", "none (pH)"), *((unit, unit.replace("_", " ")) for unit in UNITS)]),
        _choice("basis", "Counted as", [("", "not known, or no matter"), ("n", "the element"), ("ion", "the ion")]),
        Field("source_water", "this is the source water, not the loop", "check"),
    )


def _equipment(_: LoopState) -> tuple[Field, ...]:
    return (
        _picks("equipment", "What", *((one, "something else" if one == "other" else one) for one in EQUIPMENT)),
        Field("name", "Its name", help="if there is more than one"),
    )


KINDS = (
    Kind("feeding", "Fed the fish", "Fish", lambda s: (_mass("amount", "How much"), _feed(s), _groups(s, NONE))),
    Kind(
        "fish_in",
        "Fish put in",
        "Fish",
        lambda _: (
            _chosen("species", "Kind of fish", sorted(_named(facts.species()), key=lambda pair: pair[1])),
            _count(),
            _mass("weight", "Weight of one"),
            Field("group", "A name for these", help="to tell them from others; empty makes one up"),
        ),
    ),
    Kind("fish_weighed", "Fish weighed", "Fish", lambda s: (_groups(s), _count(), _mass("total", "Together"))),
    Kind(
        "fish_out",
        "Fish taken out",
        "Fish",
        lambda s: (
            _groups(s),
            _count(),
            _mass("total", "Together", "empty if not weighed"),
            _picks("reason", "Why", ("harvest", "for the table"), ("moved", "moved elsewhere")),
        ),
    ),
    Kind(
        "fish_died",
        "Fish died",
        "Fish",
        lambda s: (_groups(s), _count(), Field("removed", "found and taken out", "check")),
    ),
    Kind("feed_changed", "Another feed from now on", "Fish", lambda s: (_feed(s),)),
    Kind("planted", "Planted or sown", "Plants", _planted),
    Kind(
        "picked",
        "Picked",
        "Plants",
        lambda s: (
            _plantings(s),
            _mass("amount", "Weight", "empty if not weighed"),
            _count("Plants", "empty for all of them"),
            Field("finished", "the plants came out with it", "check"),
        ),
    ),
    Kind(
        "removed",
        "Taken out unpicked",
        "Plants",
        lambda s: (_plantings(s), _count("Plants", "empty for all of them"), Field("reason", "Why")),
    ),
    Kind(
        "spray",
        "Sprayed",
        "Plants",
        lambda s: (
            Field("substance", "With what"),
            _choice("bed", "Bed", [("", "all of them"), *_bed_names(s)]),
            Field("amount", "How much", "number", measure="dose"),
        ),
    ),
    Kind("dosed", "Put into the water", "Water", _dosed),
    Kind("water_changed", "Water changed", "Water", lambda _: (_volume(), TREATED)),
    Kind(
        "topped_up",
        "Topped up",
        "Water",
        lambda _: (_volume(), _picks("source", "With", ("source", "source water"), ("rain", "rain water")), TREATED),
    ),
    Kind(
        "temperature",
        "Temperature",
        "Water",
        lambda _: (
            Field("value", "It showed", "number"),
            _picks("unit", "in", ("degC", "°C"), ("degF", "°F")),
            _picks("where", "of the", ("water", "water"), ("air", "air")),
        ),
    ),
    Kind("reading", "Read by meter or at a shop", "Water", _reading),
    Kind("cleaned", "Cleaned", "Upkeep", _cleaned),
    Kind(
        "upkeep",
        "A job of upkeep",
        "Upkeep",
        lambda _: (
            _chosen("job", "Which", [(key, job.name) for key, job in facts.upkeep().items()]),
            Field("name", "Which one, if there are several"),
            Field("text", "In your words", "words"),
        ),
    ),
    Kind("equipment_stopped", "Something stopped", "Upkeep", _equipment),
    Kind("equipment_started", "It runs again", "Upkeep", _equipment),
    Kind(
        "outage",
        "Power was away",
        "Upkeep",
        lambda _: (Field("until", "Back at", "moment", help="empty while it is still away"),),
    ),
    Kind(
        "observation",
        "Something seen",
        "Notes",
        lambda _: (_chosen("what", "What", [(one, one) for one in SEEN]), Field("text", "In your words", "words")),
    ),
    Kind("note", "A note", "Notes", lambda _: (Field("text", "In your words", "words"),)),
)
