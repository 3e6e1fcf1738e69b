"""The form of a change: one thing at a time, in the address, so that it can be sent to somebody."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from rillbed import facts
from rillbed.garden.change import Change
from rillbed.garden.errors import GardenError
from rillbed.garden.state import LoopState
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import number
from rillbed.words.numbers import say

Typed = Mapping[str, str]
FAR_DAYS = 3653
MOST_DAYS = 365  # no future is shown for longer


@dataclass(frozen=True)
class Kind:
    """One change: its key and title, the fields it asks for, and what it makes of them."""

    key: str
    title: str
    fields: Callable[[LoopState], tuple[Field, ...]]
    made: Callable[[Typed, LoopState, date], dict[str, Any]]


def _days(typed: Typed, name: str, an_hour: float = 1.0) -> timedelta:
    """Give a length that stays within the calendar, in days or, with ``an_hour`` of 1 / 24, in hours."""
    found = _number(typed, name)
    if not 0.0 < found * an_hour <= MOST_DAYS:
        most = round(MOST_DAYS / an_hour)
        raise GardenError(name, typed[name], say("must be above 0, at most {most}", most=most))
    return timedelta(days=found * an_hour)


def _number(typed: Typed, name: str) -> float:
    return number(name, typed.get(name, "") or tr("nothing"))


def _day(typed: Typed, name: str, least: date) -> date:
    text = typed.get(name, "").strip()
    if not text:
        return least
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise GardenError(name, text, tr("must be a date, year-month-day")) from None
    if abs((found - least).days) > FAR_DAYS:
        raise GardenError(name, text, tr("must lie within ten years from now"))
    return found


def _entry(kind: str, on: date, payload: dict[str, Any]) -> dict[str, Any]:
    return {"log": [{"on": on, "kind": kind, "payload": payload}]}


def _choice(name: str, label: str, options: list[tuple[str, str]]) -> Field:
    return Field(name, label, "choice", lambda: options)


def _species(_: LoopState) -> list[tuple[str, str]]:
    return sorted(((key, tr(row.common_name)) for key, row in facts.species().items()), key=lambda pair: pair[1])


def _crops(_: LoopState) -> list[tuple[str, str]]:
    return sorted(((key, tr(row.common_name)) for key, row in facts.crops().items()), key=lambda pair: pair[1])


def _groups(state: LoopState) -> list[tuple[str, str]]:
    names = facts.species()
    return [
        (group.name, say("{count} {fish}", count=group.count, fish=tr(names[group.species].common_name)))
        for group in state.groups.values()
        if group.count
    ]


def _beds(state: LoopState) -> list[tuple[str, str]]:
    return [(bed.name, bed.name) for bed in state.system.beds]


def _outage(typed: Typed, _: LoopState, least: date) -> dict[str, Any]:
    on = _day(typed, "on", least)
    until = datetime.combine(on, time(12), UTC) + _days(typed, "hours", 1 / 24)
    return _entry("outage", on, {"until": until.isoformat()})


def _away(typed: Typed, _: LoopState, least: date) -> dict[str, Any]:
    first = _day(typed, "on", least)
    share = _number(typed, "share") / 10.0 if typed.get("share") else 0.0
    return {"away": [{"first": first, "last": first + _days(typed, "days") - timedelta(days=1), "feed_share": share}]}


def _source(typed: Typed, state: LoopState, least: date) -> dict[str, Any]:
    told = {name: _number(typed, name) for name in ("alkalinity_meq_l", "ph") if typed.get(name, "").strip()}
    return {"on": _day(typed, "on", least), "system": {"source_water": state.system.source_water.model_dump() | told}}


WHEN = Field("on", later("From"), "date", help=later("empty: tomorrow"))
BEDS = [("raft", later("raft")), ("media", later("media")), ("nft", later("channels"))]

KINDS = (
    Kind(
        "feed", later("More or less feed"),
        lambda _: (
            Field("tenths", later("Of the ration"), "number", unit=later("tenths"), help=later("10 is as planned")),
            WHEN,
        ),
        lambda t, _, d: {"on": _day(t, "on", d), "feed_share": _number(t, "tenths") / 10.0},
    ),
    Kind(
        "fish_in", later("More fish"),
        lambda s: (
            _choice("species", later("Kind of fish"), _species(s)), Field("count", later("How many"), "whole"),
            Field("weight_g", later("Weight of one"), "number", unit="g"), WHEN,
        ),
        lambda t, _, d: _entry("fish_in", _day(t, "on", d), {
            "species": t.get("species", ""), "count": _number(t, "count"),
            "weight": {"value": _number(t, "weight_g"), "unit": "g"},
        }),
    ),
    Kind(
        "fish_out", later("Fish taken out"),
        lambda s: (_choice("group", later("Which fish"), _groups(s)), Field("count", later("How many"), "whole"), WHEN),
        lambda t, _, d: _entry("fish_out", _day(t, "on", d), {
            "group": t.get("group", ""), "count": _number(t, "count"),
        }),
    ),
    Kind(
        "planted", later("More plants"),
        lambda s: (
            _choice("crop", later("What"), _crops(s)), Field("count", later("How many"), "whole"),
            _choice("bed", later("Bed"), _beds(s)), WHEN,
        ),
        lambda t, _, d: _entry("planted", _day(t, "on", d), {
            "crop": t.get("crop", ""), "count": _number(t, "count"), "bed": t.get("bed", ""),
        }),
    ),
    Kind(
        "bed", later("Another bed"),
        lambda _: (
            _choice("kind", later("What kind"), [(key, tr(name)) for key, name in BEDS]),
            Field("area_m2", later("Area"), "number", unit="m²"),
            Field("depth_cm", later("Depth of water"), "number", unit="cm"), WHEN,
        ),
        lambda t, _, d: {"on": _day(t, "on", d), "add_beds": [{
            "name": "Another bed", "kind": t.get("kind", "raft"), "area_m2": _number(t, "area_m2"),
            "water_depth_cm": _number(t, "depth_cm") if t.get("depth_cm") else 20.0,
        }]},
    ),
    Kind(
        "no_bed", later("A bed less"),
        lambda s: (_choice("bed", later("Which"), _beds(s)), WHEN),
        lambda t, _, d: {"on": _day(t, "on", d), "remove_beds": [t.get("bed", "")]},
    ),
    Kind(
        "heater", later("A heater"),
        lambda _: (Field("heater_set_c", later("Set to"), "number", unit="°C"), WHEN),
        lambda t, _, d: {"on": _day(t, "on", d), "system": {"heater_set_c": _number(t, "heater_set_c")}},
    ),
    Kind(
        "source", later("Other source water"),
        lambda _: (
            Field("alkalinity_meq_l", later("Alkalinity"), "number", unit="meq/L", help=later("empty: as it is")),
            Field("ph", "pH", "number", help=later("empty: as it is")), WHEN,
        ),
        _source,
    ),
    Kind(
        "outage", later("Power away"),
        lambda _: (Field("hours", later("For"), "number", unit=later("hours")), WHEN),
        _outage,
    ),
    Kind(
        "away", later("A holiday"),
        lambda _: (
            Field("days", later("For"), "whole", unit=later("days")), WHEN,
            Field("share", later("Feed in those days"), "number", unit=later("tenths"),
                  help=later("of the ration; empty: none")),
        ),
        _away,
    ),
)  # fmt: skip


def kind_of(key: str) -> Kind:
    """Return the change with this key, else the first."""
    return next((one for one in KINDS if one.key == key), KINDS[0])


def change_of(kind: Kind, typed: Typed, state: LoopState, on: date) -> Change:
    """Return the change that was typed, checked against the loop.

    Raises
    ------
    GardenError
        Naming the field, what was typed and what is allowed.
    """
    change = Change.make({"name": kind.title, **kind.made(typed, state, on + timedelta(days=1))})
    change.entries(state.system, on)
    return change
