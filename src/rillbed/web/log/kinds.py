"""The fields of each kind of entry: the same whether it is written, corrected or done."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rillbed import facts, words
from rillbed.garden.known import supplies
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.state import FishGroup, LoopState, Planting
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field

SEEN = (
    later("fish at the surface"), later("fish do not eat"), later("fish dart or rub"), later("fish hide"),
    later("water cloudy"), later("water smells"), later("algae"), later("old leaves yellow"),
    later("young leaves yellow"), later("leaf edges brown"), later("insects on plants"), later("roots brown"),
    later("pump weak"), later("leak"), later("something else"),
)  # fmt: skip
EQUIPMENT = {
    "pump": later("pump"), "air": later("air"), "heater": later("heater"), "siphon": later("siphon"),
    "light": later("light"), "filter": later("filter"), "other": later("something else"),
}  # fmt: skip
UNITS = {
    "mg/L": later("mg/L"), "meq/L": later("meq/L"), "dKH": later("dKH"), "ppm_CaCO3": later("ppm CaCO₃"),
    "mS/cm": later("mS/cm"),
}  # fmt: skip
FRACTIONS = {"1": later("all"), "0.75": later("three quarters"), "0.5": later("half"), "0.25": later("a quarter")}


@dataclass(frozen=True)
class Kind:
    """A kind of entry: how a button names it, among which others it stands, and its fields for a loop.

    Title and family are translated where they are shown, the fields are made in the reader's language.
    """

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
    return _choice(name, label, found if len(found) == 1 else (("", tr("choose …")), *found), help)


def _picks(name: str, label: str, *options: tuple[str, str]) -> Field:
    return Field(name, label, "picks", lambda: options)


def _called(key: str, own: Mapping[str, str] = MappingProxyType({})) -> str:
    if key in own:
        return own[key]
    rows: dict[str, object] = {**facts.species(), **facts.crops(), **supplies()}
    row = rows[key]
    return tr(str(getattr(row, "common_name", "") or getattr(row, "name", key)))


def _named(table: Iterable[str], own: Mapping[str, str] = MappingProxyType({})) -> list[tuple[str, str]]:
    return [(key, _called(key, own)) for key in table]


def _feed(state: LoopState) -> Field:
    first = [state.feed] if state.feed else []
    return _choice("feed", tr("Feed"), _named(dict.fromkeys([*first, *facts.feeds()])))


def _groups(state: LoopState, *more: tuple[str, str]) -> Field:
    found = [(group.name, _group(group, state)) for group in state.groups.values() if group.count]
    label = tr("Which fish")
    return _choice("group", label, [*more, *found]) if more else _chosen("group", label, found)


def _group(group: FishGroup, state: LoopState) -> str:
    since = words.day(state.system.day_of(group.arrived_at))
    return words.say("{n} {kind}, in since {day}", n=group.count, kind=_called(group.species), day=since)


def _plantings(state: LoopState) -> Field:
    found = [(one.name, _planting(one, state)) for one in reversed(state.plantings.values()) if one.standing]
    return _chosen("planting", tr("Which plants"), found)


def _planting(one: Planting, state: LoopState) -> str:
    on = words.day(state.system.day_of(one.planted_at))
    return words.say("{crop} in {place}, {day}", crop=_called(one.crop), place=one.bed or one.tray, day=on)


def _bed_names(state: LoopState) -> list[tuple[str, str]]:
    return [(bed.name, bed.name) for bed in state.system.beds]


def _count(label: str = "", help: str = "") -> Field:
    return Field("count", label or tr("How many"), "whole", help=help)


def _mass(name: str, label: str, help: str = "") -> Field:
    return Field(name, label, "number", measure="mass", help=help)


def _volume() -> Field:
    return Field("volume", tr("How much"), "number", measure="volume")


def _treated() -> Field:
    return Field("treated", tr("chlorine was removed first"), "check")


def _planted(state: LoopState) -> tuple[Field, ...]:
    trays = [(one.tray or "", f"{one.tray}, {_called(one.crop)}") for one in state.trays.values() if one.standing]
    return (
        _chosen("crop", tr("What"), sorted(_named(facts.crops()), key=lambda pair: pair[1])),
        _count(),
        _choice("bed", tr("Bed"), [*_bed_names(state), ("", tr("none, into a tray"))]),
        Field("tray", tr("Tray"), help=tr("a name for the tray, if sown there and not in a bed")),
        _choice("from_tray", tr("Out of the tray"), [("", tr("no tray, or bought")), *trays]),
        _picks("stage", tr("Set out as"), ("seedling", tr("seedlings")), ("seed", tr("seed"))),
    )


def _dosed(state: LoopState) -> tuple[Field, ...]:
    own = {item.id: item.name for item in state.system.products}
    shelf = dict.fromkeys([*state.system.shelf, *own, *supplies()])
    return (
        _chosen(
            "substance",
            tr("What"),
            _named(shelf, own),
            tr("what stands on your shelf comes first"),
        ),
        Field("amount", tr("How much"), "number", measure="dose"),
        Field("strength_pct", tr("Strength of a solution"), "number", unit="%", help=tr("0 to 100; empty for a solid")),
        Field(
            "density_g_ml",
            tr("Its density"),
            "number",
            unit="g/mL",
            help=words.say("{low} to {high}; empty if not known", low=words.number(0.5), high=2),
        ),
    )


def _listed(*keys: str) -> list[tuple[str, str]]:
    return [(key, tr(EQUIPMENT[key])) for key in keys]


def _cleaned(state: LoopState) -> tuple[Field, ...]:
    places = [*(bed.name for bed in state.system.beds), *(tank.name for tank in state.system.tanks)]
    return (
        _chosen("what", tr("What"), [*((name, name) for name in places), *_listed("filter", "pump")]),
        _picks("fraction", tr("How much of its dirt left the loop"), *((k, tr(v)) for k, v in FRACTIONS.items())),
    )


def _reading(_: LoopState) -> tuple[Field, ...]:
    names = [(key, tr(one.name)) for key, one in QUANTITIES.items() if key != "temperature"]
    return (
        _chosen("quantity", tr("What was read"), names),
        Field("value", tr("It showed"), "number", help=tr("one number of a meter, or the step of a card")),
        Field("low", tr("or at least"), "number", help=tr("for a range, or the open end of a card")),
        Field("high", tr("and at most"), "number"),
        _choice("unit", tr("Unit"), [("", tr("none (pH)")), *((unit, tr(text)) for unit, text in UNITS.items())]),
        _choice(
            "basis",
            tr("Counted as"),
            [("", tr("not known, or no matter")), ("n", tr("the element")), ("ion", tr("the ion"))],
        ),
        Field("source_water", tr("this is the source water, not the loop"), "check"),
    )


SHARES = (
    ("0.5", later("half the ration")),
    ("0.25", later("a quarter")),
    ("0", later("nothing")),
    ("1", later("the whole ration")),
)


def _away(_: LoopState) -> tuple[Field, ...]:
    return (
        Field("name", tr("What for"), help=tr("e.g. winter break")),
        Field("first", tr("First day away"), "date"),
        Field("last", tr("Last day away"), "date"),
        Field("by", tr("Who feeds"), help=tr("a name, or the feeder; empty if nobody, then feed nothing")),
        _choice("feed_share", tr("Feed meanwhile"), [(key, tr(text)) for key, text in SHARES]),
    )


def _equipment(_: LoopState) -> tuple[Field, ...]:
    return (
        _picks("equipment", tr("What"), *_listed(*EQUIPMENT)),
        Field("name", tr("Its name"), help=tr("if there is more than one")),
    )


def _feeding(state: LoopState) -> tuple[Field, ...]:
    return _mass("amount", tr("How much")), _feed(state), _groups(state, ("", tr("not said")))


KINDS = (
    Kind("feeding", later("Fed the fish"), later("Fish"), _feeding),
    Kind(
        "fish_in",
        later("Fish put in"),
        later("Fish"),
        lambda _: (
            _chosen("species", tr("Kind of fish"), sorted(_named(facts.species()), key=lambda pair: pair[1])),
            _count(),
            _mass("weight", tr("Weight of one")),
            Field("group", tr("A name for these"), help=tr("to tell them from others; empty makes one up")),
        ),
    ),
    Kind(
        "fish_weighed",
        later("Fish weighed"),
        later("Fish"),
        lambda s: (_groups(s), _count(), _mass("total", tr("Together"))),
    ),
    Kind(
        "fish_out",
        later("Fish taken out"),
        later("Fish"),
        lambda s: (
            _groups(s),
            _count(),
            _mass("total", tr("Together"), tr("empty if not weighed")),
            _picks("reason", tr("Why"), ("harvest", tr("for the table")), ("moved", tr("moved elsewhere"))),
        ),
    ),
    Kind(
        "fish_died",
        later("Fish died"),
        later("Fish"),
        lambda s: (_groups(s), _count(), Field("removed", tr("found and taken out"), "check")),
    ),
    Kind("feed_changed", later("Another feed from now on"), later("Fish"), lambda s: (_feed(s),)),
    Kind("planted", later("Planted or sown"), later("Plants"), _planted),
    Kind(
        "picked",
        later("Picked"),
        later("Plants"),
        lambda s: (
            _plantings(s),
            _mass("amount", tr("Weight"), tr("empty if not weighed")),
            _count(tr("Plants"), tr("empty for all of them")),
            Field("finished", tr("the plants came out with it"), "check"),
        ),
    ),
    Kind(
        "removed",
        later("Taken out unpicked"),
        later("Plants"),
        lambda s: (_plantings(s), _count(tr("Plants"), tr("empty for all of them")), Field("reason", tr("Why"))),
    ),
    Kind(
        "spray",
        later("Sprayed"),
        later("Plants"),
        lambda s: (
            Field("substance", tr("With what")),
            _choice("bed", tr("Bed"), [("", tr("all of them")), *_bed_names(s)]),
            Field("amount", tr("How much"), "number", measure="dose"),
        ),
    ),
    Kind("dosed", later("Put into the water"), later("Water"), _dosed),
    Kind("water_changed", later("Water changed"), later("Water"), lambda _: (_volume(), _treated())),
    Kind(
        "topped_up",
        later("Topped up"),
        later("Water"),
        lambda _: (
            _volume(),
            _picks("source", tr("With"), ("source", tr("source water")), ("rain", tr("rain water"))),
            _treated(),
        ),
    ),
    Kind(
        "temperature",
        later("Temperature"),
        later("Water"),
        lambda _: (
            Field("value", tr("It showed"), "number"),
            _picks("unit", tr("in"), ("degC", "°C"), ("degF", "°F")),
            _picks("where", tr("of the"), ("water", tr("water")), ("air", tr("air"))),
        ),
    ),
    Kind("reading", later("Read by meter or at a shop"), later("Water"), _reading),
    Kind("cleaned", later("Cleaned"), later("Upkeep"), _cleaned),
    Kind(
        "upkeep",
        later("A job of upkeep"),
        later("Upkeep"),
        lambda _: (
            _chosen("job", tr("Which"), [(key, tr(job.name)) for key, job in facts.upkeep().items()]),
            Field("name", tr("Which one, if there are several")),
            Field("text", tr("In your words"), "words"),
        ),
    ),
    Kind("away", later("Days away"), later("Upkeep"), _away),
    Kind("equipment_stopped", later("Something stopped"), later("Upkeep"), _equipment),
    Kind("equipment_started", later("It runs again"), later("Upkeep"), _equipment),
    Kind(
        "outage",
        later("Power was away"),
        later("Upkeep"),
        lambda _: (Field("until", tr("Back at"), "moment", help=tr("empty while it is still away")),),
    ),
    Kind(
        "observation",
        later("Something seen"),
        later("Notes"),
        lambda _: (
            _chosen("what", tr("What"), [(one, tr(one)) for one in SEEN]),
            Field("text", tr("In your words"), "words"),
        ),
    ),
    Kind("note", later("A note"), later("Notes"), lambda _: (Field("text", tr("In your words"), "words"),)),
)
