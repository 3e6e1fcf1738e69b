"""A run that is looked at by the hour, doses at the hour they were given, and carries the slow paths."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Any

import numpy as np

from rillbed import facts
from rillbed.engine import fish as fishes
from rillbed.engine.chem import ionic_strength
from rillbed.engine.hourly import Day, ph_of
from rillbed.engine.inputs import Event, Number
from rillbed.engine.jumps import move
from rillbed.engine.result import Array
from rillbed.engine.simulate import Run
from rillbed.engine.state import MINERALS, S
from rillbed.science.carbonate import CO2_G_MOL

TIMED = ("dose", "drain")  # what moves the water so much that its hour counts
STRENGTH_PER_EC = facts.value("dosing.strength_per_ec")
EQ_PER_G = {"ca": 1.0 / 20.04, "mg": 1.0 / 12.1525}  # hardness


@dataclass(frozen=True)
class Look:
    """What to look at: a quantity at an hour, or (hour None) something before the day's events, by its label."""

    day: int
    what: str
    hour: float | None = None
    label: str = ""


class Followed(Run):
    """A run with slow log-rate paths (each (days, members)) that notes what `looks` ask for."""

    def __init__(self, *args: Any, paths: Mapping[str, Array], looks: tuple[Look, ...] = (), **how: Any) -> None:
        self.season_error: Number = how.pop("season_error", 0.0)
        super().__init__(*args, **how)
        self.paths, self.first_params = paths, self.p
        self.today_d = 0
        self.seen: dict[Look, Array] = {}
        self.by_day: dict[int, list[Look]] = defaultdict(list)
        for look in looks:
            self.by_day[look.day].append(look)
        self.due: dict[int, list[Callable[[], None]]] = {}

    def season(self, today: date) -> Number:
        """Give the calendar's temperature with each member's error of it, degC."""
        return super().season(today) + self.season_error

    def day(self, d: int) -> None:
        """Advance one day; look before its events, and hold back what happened later in it."""
        self.today_d, self.due = d, defaultdict(list)
        self.extra = {"source": np.zeros(self.members), "sink": np.zeros(self.members)}
        for look in self.by_day[d]:
            if look.hour is None:
                self.seen[look] = self._before(look)
        self.events[d] = [kept for e in self.events.get(d, []) if (kept := self._held(e)) is not None]
        # what was read comes before what was done in the same hour
        for look in self.by_day[d]:
            if look.hour is not None:
                self.due[self._step(look.hour)].insert(0, partial(self._note, look))
        super().day(d)
        self.due.clear()
        self._book(d)

    def _step(self, hour: float) -> int:
        return min(int(hour * self.steps / 24.0), self.steps - 1)

    def _held(self, e: Event) -> Event | None:
        if e.kind == "weigh" and "share" in e.values:
            return self._weighed(e)
        hour = e.values.get("hour", 0.0)
        if e.kind not in TIMED or hour <= 0.0:
            return replace(e, values={k: v for k, v in e.values.items() if k != "hour"})
        values = {k: v for k, v in e.values.items() if k != "hour"}
        later = replace(e, values=values)
        self.due[self._step(hour)].append(lambda: move(self, later))
        # an empty dose keeps the day's place in the rules; the water moves at its hour
        return replace(e, values={}) if e.kind == "dose" else None

    def _weighed(self, e: Event) -> Event:
        """Move a group's log-weight by a share of the way to what was weighed."""
        now = self._weight(e.label)
        share = e.values["share"]
        return replace(e, values={"weight_g": now ** (1.0 - share) * e.values["weight_g"] ** share})

    def due_steps(self) -> Iterable[int]:
        """Give the steps of today at which something was read or done."""
        return [step for step, actions in self.due.items() if actions]

    def tick(self, step: int) -> None:
        """Do what is due before this step."""
        for action in self.due.get(step, ()):
            action()

    def _hours(self, consts: Day, dissolved: Array) -> Array:
        """Run the hours with the paths of the day on source, sink and nitrification."""
        source, sink, nitrif = (np.exp(self.paths[p][self.today_d]) for p in ("xi_source", "xi_sink", "xi_nitrif"))
        more = dissolved * (source - 1.0)
        self.books.add("n", more)
        self.extra["source"], self.extra["sink"] = more, 1.0 - 1.0 / sink
        own = replace(
            consts, theta_a=consts.theta_a * nitrif, theta_n=consts.theta_n * nitrif, denit=consts.denit * sink,
            coupled=np.minimum(consts.coupled * sink, 1.0),
        )  # fmt: skip
        return super()._hours(own, dissolved + more)

    def _book(self, d: int) -> None:
        """Show what the paths brought or took as unexplained, not as gas."""
        lost = self.columns["n_gas"][d] * self.extra["sink"]
        self.columns["n_gas"][d] -= lost.astype(np.float32)
        self.columns["n_unexplained"][d] += (self.extra["source"] - lost).astype(np.float32)

    def _weight(self, label: str) -> Array:
        for g in self.groups:
            if label in ("", g.name):
                return g.weight + 0.0
        return np.full(self.members, np.nan)

    def _before(self, look: Look) -> Array:
        if look.what == "fish_weight":
            return self._weight(look.label)
        if look.what == "plant_mass":
            return next((b.mass + 0.0 for b in self.beds if b.name == look.label), np.full(self.members, np.nan))
        if look.what == "missing_m3":
            return np.maximum(self.loop.volume_m3 - self.volume, 0.0)
        if look.what == "appetite":
            shares = [fishes.appetite(g.kind, self.felt) for g in self.groups]
            return np.min(shares, axis=0) if shares else np.ones(self.members)
        raise ValueError(f"what: {look.what!r} is nothing to look at before a day")

    def _note(self, look: Look) -> None:
        self.seen[look] = self.water(look.what)

    def water(self, quantity: str) -> Array:
        """Give a quantity as it stands now, in the canonical unit of readings, (members,)."""
        y = self.y
        rows = {"tan": S.TAN, "no2": S.NO2, "no3": S.NO3, "alkalinity": S.ALK, "oxygen": S.O2, **MINERALS}
        if quantity == "ph":
            return np.asarray(ph_of(self.h))
        if quantity == "gh":
            return np.asarray(y[S.CA] * EQ_PER_G["ca"] + y[S.MG] * EQ_PER_G["mg"])
        if quantity == "ec":
            return np.asarray(ionic_strength(y) / STRENGTH_PER_EC)
        if quantity == "co2":
            return np.asarray(y[S.CO2] * CO2_G_MOL)
        return np.asarray(y[rows[quantity]] + 0.0)
