"""What happened, as state jumps: each kind of event moves the world once, at the start of its day."""

from collections.abc import Callable

import numpy as np

from rillbed.engine import fish as fishes
from rillbed.engine import plants, water
from rillbed.engine.inputs import Crop, Event, Fish
from rillbed.engine.state import S
from rillbed.engine.world import World


def apply(world: World, d: int) -> set[str]:
    """Apply the events of day `d` in their order; gives the kinds that happened."""
    kinds: set[str] = set()
    for event in world.events.get(d, ()):
        kinds.add(event.kind)
        move = MOVES.get(event.kind)
        if move is not None:
            move(world, event)
    return kinds


def _dose(w: World, e: Event) -> None:
    w.gain("n_dose", water.dose(w.y, w.volume, dict(e.values), w.books))


def _drain(w: World, e: Event) -> None:
    w.volume, n = water.drain(w.y, w.volume, e.values["share"] * w.volume, w.books)
    w.gain("n_water", n)
    if e.values.get("refill", 1.0):
        w.fill()


def _topup(w: World, e: Event) -> None:
    w.volume = water.pour(w.y, w.volume, np.full(w.members, e.values["m3"]), w.loop.source, w.books)


def _temperature(w: World, e: Event) -> None:
    w.offset = e.values["temp_c"] - w.season(w.today(e.day))


def _fish_in(w: World, e: Event) -> None:
    kind = w.species.get(e.name, Fish())
    w.groups.append(fishes.Group(kind, e.label or e.name, e.values["count"], np.full(w.members, e.values["weight_g"])))


def _fish_out(w: World, e: Event) -> None:
    left = e.values["count"]
    for g in w.groups:
        if left > 0 and e.label in ("", g.name):
            taken = min(g.count, left)
            g.count -= taken
            left -= taken
    w.groups = [g for g in w.groups if g.count > 0]


def _weigh(w: World, e: Event) -> None:
    for g in w.groups:
        if e.label in ("", g.name):
            g.weight = np.full(w.members, e.values["weight_g"])


def _plant(w: World, e: Event) -> None:
    w.beds.append(plants.start(w.crops.get(e.name, Crop()), e.label or e.name, e.values["count"], e.day, w.members))


def _pick(w: World, e: Event) -> None:
    for bed in w.beds:
        if e.label in ("", bed.name):
            plants.remove(bed, min(e.values.get("share", e.values.get("count", 0.0) / bed.count), 1.0))
    w.beds = [b for b in w.beds if b.count > plants.NO_PLANTS]


def _clean(w: World, e: Event) -> None:
    w.y[[S.CAP_A, S.CAP_N]] *= e.values["kept"]


def _air(w: World, e: Event) -> None:
    w.kla = w.p["kla_o2"] * e.values["factor"]


MOVES: dict[str, Callable[[World, Event], None]] = {
    "dose": _dose, "drain": _drain, "topup": _topup, "temp": _temperature, "fish_in": _fish_in, "fish_out": _fish_out,
    "weigh": _weigh, "plant": _plant, "pick": _pick, "clean": _clean, "kla": _air,
}  # fmt: skip
