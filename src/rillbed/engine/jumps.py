"""What happened, as state jumps: each kind of event moves the world once, at the start of its day."""

from collections.abc import Callable

import numpy as np

from rillbed.engine import fish as fishes
from rillbed.engine import plants, water
from rillbed.engine.inputs import Event
from rillbed.engine.state import S
from rillbed.engine.world import World


def apply(world: World, d: int) -> set[str]:
    """Apply the events of day `d` in their order; gives the kinds that happened."""
    kinds: set[str] = set()
    for event in world.events.get(d, ()):
        kinds.add(event.kind)
        if event.kind not in MOVES:
            raise ValueError(f"kind: {event.kind!r} is not a kind of event; allowed: {', '.join(sorted(MOVES))}")
        move(world, event)
    return kinds


def move(w: World, e: Event) -> None:
    """Apply one event, booked as caused by its kind."""
    before, w.books.cause = w.books.cause, e.kind
    MOVES[e.kind](w, e)
    w.books.cause = before


def _dose(w: World, e: Event) -> None:
    n = water.dose(w.y, w.volume, dict(e.values), w.books)
    w.gain("n_dose", n)
    w.primed |= n > 0


def _drain(w: World, e: Event) -> None:
    w.volume, n = water.drain(w.y, w.volume, e.values["share"] * w.volume, w.books)
    w.gain("n_water", n)
    if e.values.get("refill", 1.0):
        w.fill()


def _topup(w: World, e: Event) -> None:
    amount = np.full(w.members, e.values["m3"])
    if e.values.get("rain"):
        w.volume = water.evaporate(w.y, w.volume, -amount, w.books)
    else:
        w.volume = water.pour(w.y, w.volume, amount, w.loop.source, w.books)


def _temperature(w: World, e: Event) -> None:
    w.offset = e.values["temp_c"] - w.season(w.today(e.day)) - w.excess


def _fish_in(w: World, e: Event) -> None:
    kind = w.species[e.name]
    w.groups.append(fishes.Group(kind, e.label or e.name, e.values["count"], np.full(w.members, e.values["weight_g"])))


def _fish_out(w: World, e: Event) -> None:
    left = e.values["count"]
    for g in w.groups:
        if left > 0 and e.label in ("", g.name):
            taken = min(g.count, left)
            g.count -= taken
            left -= taken
            if e.values.get("left"):  # dead fish nobody found rot where they lie
                grams = taken * g.weight * g.kind.n_body
                w.y[S.SOLIDS] += grams / w.volume
                w.books.add("n", grams)
    w.groups = [g for g in w.groups if g.count > 0]


def _weigh(w: World, e: Event) -> None:
    for g in w.groups:
        if e.label in ("", g.name):
            g.weight = np.full(w.members, e.values["weight_g"])


def _plant(w: World, e: Event) -> None:
    w.beds.append(plants.start(w.crops[e.name], e.label or e.name, e.values["count"], e.day, w.p))


def _pick(w: World, e: Event) -> None:
    for bed in w.beds:
        if e.label in ("", bed.name):
            plants.remove(bed, min(e.values.get("share", e.values.get("count", 0.0) / bed.count), 1.0))
    w.beds = [b for b in w.beds if b.count > plants.NO_PLANTS]


def _cut(w: World, e: Event) -> None:
    for bed in w.beds:
        if e.label in ("", bed.name):
            plants.cut(bed)


def _clean(w: World, e: Event) -> None:
    w.y[[S.CAP_A, S.CAP_N]] *= e.values["kept"]
    gone = w.y[S.SOLIDS] * (1.0 - e.values.get("solids", 1.0))
    w.y[S.SOLIDS] -= gone
    w.books.add("n", -gone * w.volume)
    w.gain("n_solids_out", gone * w.volume)


def _air(w: World, e: Event) -> None:
    w.air = e.values["factor"]


def _heater(w: World, e: Event) -> None:
    w.heater_on = bool(e.values["on"])


def _still(w: World, e: Event) -> None:
    w.still.append((e.kind.removesuffix("_off"), e.values["from_h"], e.values["to_h"]))


def _feed_kind(w: World, e: Event) -> None:
    assert e.feed is not None
    w.feed = e.feed


def _set_up(w: World, e: Event) -> None:
    """Go on in the loop as it now stands: surplus water leaves, missing water is filled up."""
    assert e.loop is not None
    assert e.params is not None
    w.loop, w.p, w.feed = e.loop, e.params, e.feed or w.feed
    surplus = np.maximum(w.volume - w.loop.volume_m3, 0.0)
    w.volume, n = water.drain(w.y, w.volume, surplus, w.books)
    w.gain("n_water", n)
    w.fill()


def _meal(w: World, e: Event) -> None:
    """Feed is taken up with the day's other meals."""


MOVES: dict[str, Callable[[World, Event], None]] = {
    "dose": _dose, "drain": _drain, "topup": _topup, "temp": _temperature, "fish_in": _fish_in, "fish_out": _fish_out,
    "weigh": _weigh, "plant": _plant, "pick": _pick, "cut": _cut, "clean": _clean, "kla": _air, "heater": _heater,
    "air_off": _still, "flow_off": _still, "heat_off": _still, "feed": _meal, "feed_kind": _feed_kind,
    "set_up": _set_up,
}  # fmt: skip
