"""The loop on the first day of a window: what the log before it tells, and how far that may be off.

Counts, crops, feed and equipment are folded from the log. Weights and masses are grown from what was last known of
them. What the water holds is read from tests near that day, or else is what running loops hold, with a wide spread.
Every number that is not known has a coordinate of its own, so the readings in the window correct it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from rillbed import facts
from rillbed.engine import fish as fishes
from rillbed.engine import pack, plants
from rillbed.engine.books import Books, contents
from rillbed.engine.cropping import crop_of
from rillbed.engine.inputs import Feed
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.engine.world import World
from rillbed.fit.coordinates import Coordinates, table_of
from rillbed.fit.held import Held, held_of
from rillbed.fit.raised import grown_g, planted_g
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.science import solids

if TYPE_CHECKING:
    from rillbed.garden.state import LoopState

BREAKDOWN_C = 25.0  # temperature the rate of solids is given at
TELLS = frozenset({"fish_in", "dosed", "planted", "reading"})  # without any of these the loop has only stood there


@dataclass(frozen=True)
class Stock:
    """Fish of one group, or plants of one planting: what one fish, or all plants, weigh (g), and its ln-spread."""

    name: str
    kind: str
    count: float
    grams: float
    spread: float
    since: date


@dataclass(frozen=True)
class Opening:
    """State at the beginning of day `begin`.

    Attributes
    ----------
    system : System
        The loop as it stands then; one that has had fish is running.
    stopped : tuple of LogEntry
        What stands still as the window begins, as entries of its first hour.
    """

    begin: date
    system: System
    water: tuple[Held, ...]
    fish: tuple[Stock, ...]
    plants: tuple[Stock, ...]
    feed: Feed
    stopped: tuple[LogEntry, ...]

    @classmethod
    def of(cls, system: System, entries: Sequence[LogEntry], begin: date) -> Opening | None:
        """Fold the effective log before `begin`; None where nothing had happened yet."""
        if system.startup_path != "running" and not any(e.kind in TELLS for e in entries):
            return None
        state = state_at(system, entries, begin - timedelta(days=1))
        now = state.system
        if state.groups or system.startup_path == "running":
            now = now.model_copy(update={"startup_path": "running", "seeding": "none"})
        groups = [g for g in state.groups.values() if g.count > 0]
        beds = [p for p in state.plantings.values() if p.standing]
        loop, table = table_of(now)
        fish = []
        for g in groups:
            grams, spread = grown_g(g, groups, state.fed_g_by_day, loop, table, begin, now, entries)
            fish.append(Stock(g.name, g.species, float(g.count), grams, spread, now.day_of(g.weighed_at)))
        cuts = _cuts(entries)
        rows = []
        for p in beds:
            since = now.day_of(p.planted_at)
            days = [now.day_of(at) for at in cuts.get(p.name, [])]
            grams, spread = planted_g(p.crop, float(p.count), since, days, begin, loop)
            rows.append(Stock(p.name, p.crop, float(p.count), grams, spread, since))
        fed = pack.feed_of(state.feed) if state.feed else loop.feed
        water = held_of(now, loop, entries, state, begin)
        return cls(begin, now, water, tuple(fish), tuple(rows), fed, _still(now, state, entries, begin))

    @property
    def names(self) -> tuple[str, ...]:
        """Coordinates of what is not known."""
        stocks = (*(_of("fish", s) for s in self.fish), *(_of("plants", s) for s in self.plants))
        return (*(f"begin:{h.name}" for h in self.water), *stocks)

    def apply(self, run: World, c: Coordinates, z: Array) -> None:
        """Put the state into a run that has not begun."""

        def around(median: float, spread: float, name: str) -> Array:
            return np.asarray(median * np.exp(spread * z[c.place(name)]))

        for h in self.water:
            run.y[h.row] = around(h.median, h.spread, f"begin:{h.name}")
        run.felt.cl = run.y[S.CL] + 0.0
        run.feed = self.feed
        for s in self.fish:
            weight = around(s.grams, s.spread, _of("fish", s))
            run.groups.append(fishes.Group(pack.fish_of(s.kind), s.name, s.count, weight))
        for s in self.plants:
            day = (s.since - self.begin).days
            mass = around(s.grams, s.spread, _of("plants", s))
            bed = plants.Planting(crop_of(s.kind), s.name, s.count, day, mass, plants.nothing(*mass.shape))
            run.beds.append(plants.full(bed, run.p))
        _settle(run)
        run.books = Books(contents(run.y, run.volume))


def _of(what: str, stock: Stock) -> str:
    return f"begin:{what}:{stock.name}"


def _settle(run: World) -> None:
    """Give the beds the solids they hold when as much breaks down as the full ration brings."""
    temp = np.asarray(run.temp + run.excess)
    for g in run.groups:
        able = fishes.able(g, temp, run.p)
        full = fishes.full_ration(g, able)
        meal = fishes.eat(g, able, run.feed, full, np.ones(run.members), run.p)
        share = run.p["solids_share_media"] if run.loop.media else run.p["solids_share_raft"]
        stays, _ = solids.split_g.inner(meal.solids_n, share)
        warm = solids.temperature_factor.inner(temp, facts.choice("rate.solids_theta"), BREAKDOWN_C)
        run.y[S.SOLIDS] += stays / run.volume / (run.p["solids_k"] * warm)
        run.feed_mean = run.feed_mean + full


def _cuts(entries: Sequence[LogEntry]) -> dict[str, list[datetime]]:
    found: dict[str, list[datetime]] = {}
    for e in entries:
        if e.kind == "picked" and not getattr(e.payload, "finished", True):
            found.setdefault(getattr(e.payload, "planting", ""), []).append(e.at)
    return found


def _still(system: System, state: LoopState, entries: Sequence[LogEntry], begin: date) -> tuple[LogEntry, ...]:
    midnight = datetime.combine(begin, time(), ZoneInfo(system.time_zone))
    found = []
    for e in entries:
        p = e.payload
        stopped = e.kind == "equipment_stopped" and state.stopped.get((p.equipment, p.name)) == e.at  # type: ignore[attr-defined]
        until = getattr(p, "until", None)
        out = e.kind == "outage" and (until is None or until > midnight)
        if stopped or out:
            found.append(e.model_copy(update={"at": midnight}))
    return tuple(found)
