"""One loop with its log, ready to be run for any members over any days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from rillbed import facts
from rillbed.engine import happened, pack, priors
from rillbed.engine.cropping import crop_of
from rillbed.engine.future import Future, Pause
from rillbed.engine.inputs import Event, Loop
from rillbed.engine.result import Array
from rillbed.engine.run import days_of, default_future
from rillbed.fit.coordinates import PATHS, SEASON_C, Coordinates
from rillbed.fit.follow import Followed, Look
from rillbed.fit.opening import Opening
from rillbed.fit.raised import ARRIVED
from rillbed.fit.weighing import Weighing, weighings_of
from rillbed.fit.window import begin_of
from rillbed.garden.fold import effective, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

SCOOP = facts.value("fit.scoop_spread")


@dataclass(frozen=True)
class Setting:
    """A loop, the entries that count until `on`, and the seed its members are drawn from.

    Attributes
    ----------
    system : System
        The loop as first set up; of a long log, as it stood when the window began.
    start : date
        First day that is run.
    earlier : tuple of LogEntry
        Of a long log, the entries before that day.
    opening : Opening or None
        Of a long log, the state on that day.
    """

    system: System
    entries: tuple[LogEntry, ...]
    on: date
    start: date
    seed: int
    name: str = field(default="")
    earlier: tuple[LogEntry, ...] = ()
    opening: Opening | None = None

    @classmethod
    def of(
        cls, system: System, entries: Sequence[LogEntry], on: date, seed: int | None = None, begin: date | None = None
    ) -> Setting:
        """Resolve corrections, leave out what is later than `on`, and take up a long log where its window begins.

        Parameters
        ----------
        begin : date, optional
            First day to run. Default: the loop's start, or that of the window for a log longer than one.

        Raises
        ------
        ValueError
            For a day before the loop's start, or longer after the first day than a run may be.
        """
        given = effective(entries)
        now = system_at(system, given, on)
        start = min(system.started_on, now.started_on)
        seed = priors.loop_seed(system.name, start.isoformat()) if seed is None else seed
        begin = max(begin_of(start, on) if begin is None else begin, start)
        days_of(begin, on, 0)
        kept = tuple(e for e in given if now.day_of(e.at) <= on)
        if begin == start:
            return cls(system, kept, on, start, seed, system.name)
        earlier = tuple(e for e in kept if now.day_of(e.at) < begin)
        opening = Opening.of(system, earlier, begin)
        stood = system_at(system, earlier, begin) if opening is None else opening.system
        still = () if opening is None else opening.stopped
        return cls(stood, (*still, *kept[len(earlier) :]), on, begin, seed, system.name, earlier, opening)

    def until(self, system: System, entries: Sequence[LogEntry], on: date) -> Setting:
        """Give the same loop with another log or day: same seed, and same first day if it is that of a window."""
        begin = self.start if self.windowed else date.min
        return Setting.of(system, entries, on, self.seed, begin)

    @property
    def windowed(self) -> bool:
        """Whether the log is longer than what is run of it."""
        return bool(self.earlier) or self.opening is not None

    @cached_property
    def now(self) -> System:
        """The loop as it stands on `on`."""
        return system_at(self.system, self.entries, self.on)

    @cached_property
    def first(self) -> System:
        """The loop as it was set up."""
        return system_at(self.system, self.entries, self.start)

    @property
    def days(self) -> int:
        """Days from the start to `on`."""
        return (self.on - self.start).days

    def moment(self, at: datetime) -> tuple[int, float]:
        """Day of the loop, and hour of that day, of a moment."""
        zone = UTC if self.now.time_zone == "UTC" else ZoneInfo(self.now.time_zone)
        local = at.astimezone(zone)
        return (self.now.day_of(at) - self.start).days, local.hour + local.minute / 60.0

    @cached_property
    def guesses_season(self) -> bool:
        """Whether nobody has said how warm the water is."""
        told = self.first.heater_set_c is not None or self.first.water_temp_c is not None
        return not told and not any(e.kind == "temperature" for e in self.entries)

    @cached_property
    def weighings(self) -> tuple[Weighing, ...]:
        """Weigh-ins of living fish, in order."""
        known = {} if self.opening is None else {stock.name: 0 for stock in self.opening.fish}
        return weighings_of(self.entries, self.moment, known)

    @cached_property
    def away(self) -> tuple[Pause, ...]:
        """Spells away, also those that were known before the window began."""
        return happened.pauses_of((*self.earlier, *self.entries))

    @cached_property
    def arrivals(self) -> tuple[LogEntry, ...]:
        """Entries of fish put in, in order."""
        return tuple(e for e in self.entries if e.kind == "fish_in")

    def coordinates(self, nuisances: Sequence[str] = (), days: int | None = None) -> Coordinates:
        """Names of all that the log may move."""
        season = ["season"] if self.guesses_season else []
        scoop = ["scoop"] if any(e.kind == "feeding" for e in self.entries) else []
        weighed = [*(f"arrived:{e.uuid}" for e in self.arrivals), *(w.name for w in self.weighings)]
        begun = () if self.opening is None else self.opening.names
        own = (*season, *scoop, *weighed, *begun, *nuisances)
        return Coordinates.of(self.first, self.days if days is None else days, own)

    def run(
        self, c: Coordinates, z: Array, *, days: int, looks: Sequence[Look] = (), future: Future | None = None,
        free_from: int | None = None,
    ) -> Followed:  # fmt: skip
        """Prepare a run of the members `z` over `days` days; nothing is run yet."""
        loop, params = c.values(self.first, z)

        def stands(as_set_up: System) -> tuple[Loop, Mapping[str, Array]]:
            return c.values(as_set_up, z)

        future = future or default_future(self.now, self.start, self.on, self.away)
        last = self.start + timedelta(days=days)
        logged = happened.events_of(self.first, self.entries, self.start, self.on, stands)
        jumps = self._at_their_hour(c, z, logged)
        jumps += happened.events_to_come(self.now, future.planned, self.start, self.on, last, stands)
        species = {e.name for e in jumps if e.kind == "fish_in"} | {a.species for a in future.fish}
        crops = {e.name for e in jumps if e.kind == "plant"} | {s.crop for s in future.plantings}
        season = SEASON_C * z[c.place("season")] if "season" in c.names else 0.0
        run = Followed(
            loop, params, start=self.start, days=days, free_from=self.days if free_from is None else free_from,
            events=jumps, future=future, species={s: pack.fish_of(s) for s in species},
            crops={n: crop_of(n) for n in crops}, paths={p: c.path(p, z, days) for p in PATHS}, looks=tuple(looks),
            season_error=season, away=self.away,
        )  # fmt: skip
        if self.opening is not None:
            self.opening.apply(run, c, z)
        return run

    def _at_their_hour(self, c: Coordinates, z: Array, jumps: Sequence[Event]) -> list[Event]:
        """Give doses and water changes their hour, and weights and the feed scoop their error."""
        timed = {"dose": [e for e in self.entries if e.kind == "dosed"],
                 "drain": [e for e in self.entries if e.kind == "water_changed"]}  # fmt: skip
        hours = {kind: iter([self.moment(e.at)[1] for e in entries]) for kind, entries in timed.items()}
        weighed, arrived = iter(self.weighings), iter(self.arrivals)
        scoop = _error(c, z, "scoop", SCOOP)
        result = []
        for e in jumps:
            if e.kind in hours:
                e = replace(e, values={**e.values, "hour": next(hours[e.kind])})
            elif e.kind == "weigh":
                w = next(weighed)
                e = replace(e, values={"weight_g": w.weight_g * _error(c, z, w.name, w.sd), "share": w.share})
            elif e.kind == "fish_in":
                error = _error(c, z, f"arrived:{next(arrived).uuid}", ARRIVED)
                e = replace(e, values={**e.values, "weight_g": e.values["weight_g"] * error})
            elif e.kind == "feed":
                e = replace(e, values={**e.values, "scoop": scoop})
            result.append(e)
        return result


def _error(c: Coordinates, z: Array, name: str, spread: float) -> Any:
    """Factor by which something written down differs from what was; 1 where the members do not carry it."""
    return np.exp(spread * z[c.place(name)]) if name in c.names else 1.0
