"""The day loop: events, rules, 24 implicit hours, then fish, plants, minerals, water and the books."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np

from rillbed import facts
from rillbed.engine import jumps, meals, minerals, plants, rates, record, rules, water
from rillbed.engine.books import MARKS
from rillbed.engine.calendar import monthly
from rillbed.engine.compiled import advance
from rillbed.engine.hourly import Course, Day, Stretch, step_of
from rillbed.engine.pools import Flows
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.engine.world import World
from rillbed.science import heat

NOTHING: frozenset[str] = frozenset()


class Run(World):
    """One run of all members from the first day; `day(d)` advances it, `columns` fills up."""

    def day(self, d: int) -> None:
        """Advance one day and record its row."""
        today, free = self.today(d), self.free(d)
        self.row.clear()
        self.still.clear()
        seen = jumps.apply(self, d)
        self._temperature(today)
        self.books.cause = "base"
        challenged = rules.refill(self) if free and "dose" not in seen else np.zeros(self.members, bool)
        if free:
            rules.base(self)
        self.books.cause = "feed"
        feed = meals.feed(self, d)
        asks = minerals.asked(self, today)
        consts = rates.of_day(self, sum((want for _, want in asks), np.zeros(self.members)) / self.volume)
        low = self._hours(consts, feed)
        self.books.cause = "plants"
        minerals.day(self, consts, asks, d)
        self.books.cause = "dose"
        if free and d % 7 == 0:
            rules.supplement(self)
        self.books.cause = "water"
        self._water(today, free)
        self.felt.follow(self.y[S.TAN] + 0.0, self.y[S.NO2] + 0.0, self.y[S.CL] + 0.0, low)
        rules.certify(self, d, challenged)
        self.row["n_unexplained"] = self.books.close(self.y, self.volume)
        record.write(self, d, low, consts)
        if d - self.free_from in MARKS:
            self._mark(MARKS.index(d - self.free_from))

    def _mark(self, at: int) -> None:
        """Keep what was booked until now, by element and cause."""
        for key, grams in self.books.by_cause.items():
            kept = self.booked.setdefault(key, np.zeros((len(MARKS), self.members)))
            kept[at] = grams

    def _temperature(self, today: date) -> None:
        if self.heater_on:
            self.excess = self.heating(today)
        cold = 0.0 if self.heater_on else 24.0
        cold = max([cold, *(b - a for what, a, b in self.still if what == "heat")])
        self.excess = heat.relaxed_c.inner(self.excess, 0.0, cold, self.loop.cools_h)
        self.temp = self.season(today) + self.excess + self.offset
        self.offset = self.offset * np.exp(-1.0 / facts.choice("run.temperature_memory_days"))

    def _hours(self, consts: Day, dissolved: Array) -> Array:
        """Go through the hours of the day with its meals; gives the lowest oxygen seen."""
        self.prepared: dict[frozenset[str], Array] = {}
        meals = {int(m * self.steps / 24) for m in self.loop.meals}
        per_meal = dissolved / self.volume / max(len(meals), 1)
        self.course = Course.begin(self.y, self.h, self.used)
        due = {*self.due_steps()}
        stops = sorted({0, self.steps, *meals, *due, *self._turns()})
        ahead: list[Stretch] = []
        for here, there in pairwise(stops):
            meal = per_meal if here in meals else None
            if here in due:
                self._go(ahead)
                if meal is not None:
                    self.y[S.GUT1] += meal
                self.tick(here)
                ahead, meal = [], None
            ahead.append(Stretch(there - here, self._now(consts, here), meal))
        self._go(ahead)
        consts.flows.update(zip(Flows._fields, self.course.flowed, strict=True))
        return self._close_hours(consts, self.course.low)

    def _go(self, stretches: list[Stretch]) -> None:
        advance(self.y, self.course, stretches)
        self.h, self.used = self.course.h, self.course.used

    def due_steps(self) -> Iterable[int]:
        """Give the steps of today before which `tick` has something to do."""
        return ()

    def tick(self, step: int) -> None:
        """Do nothing before a step; a run that is followed by the hour looks in here."""

    def _turns(self) -> Iterable[int]:
        """Give the steps at which something stops or runs again."""
        if not self.still:
            return
        off: frozenset[str] | None = None
        for step in range(self.steps):
            if (now := self._off(step)) != off:
                off = now
                yield step

    def _off(self, step: int) -> frozenset[str]:
        """Tell what stands still in the middle of a step."""
        hour_now = (step + 0.5) * 24.0 / self.steps
        return frozenset(what for what, a, b in self.still if a <= hour_now < b)

    def _now(self, consts: Day, step: int) -> Array:
        """Give the constants of one step: what stands still now is taken out; the books stay shared."""
        off = self._off(step) if self.still else NOTHING
        if off not in self.prepared:
            self.prepared[off] = step_of(self._without(consts, off), 1.0 / self.steps, self.members)
        return self.prepared[off]

    def _without(self, consts: Day, off: frozenset[str]) -> Day:
        kla = consts.kla * (facts.choice("aeration.still_share") if "air" in off else 1.0)
        if "flow" not in off:
            return replace(consts, kla=kla)
        # without a pump the fish have their own tank only, and the filter gets nothing
        return replace(consts, kla=kla, reach=0.0, crowd=self.loop.volume_m3 / self.loop.fish_m3)

    def _close_hours(self, consts: Day, low: Array) -> Array:
        self.day_volume = self.volume + 0.0
        taken = (consts.flows["plant_nh4"] + consts.flows["plant_no3"]) * self.volume
        self.books.add("n", -(taken + consts.flows["gas"] * self.volume))
        self.row["n_plants"] = taken
        return low

    def _evaporation_mm_m2(self, today: date) -> Array:
        """Give litres a day from beds, by how far their plants cover them, and from open water."""
        planted = sum(b.area for b in self.beds)
        fits = np.minimum(1.0, self.loop.bed_area_m2 / planted) if planted else 1.0
        bare = np.maximum(self.loop.bed_area_m2 - planted, 0.0) * self.loop.bare_kc
        covered = sum((plants.kc(b) * b.area for b in self.beds), np.zeros(self.members)) * fits
        open_water = monthly(self.loop.open_mm, today) * self.loop.surface_m2
        return np.asarray(monthly(self.loop.et_mm, today) * (covered + bare) + open_water)

    def _rain(self, today: date) -> None:
        """Let rain in, pure water, and let what is too much run over."""
        fallen = 1e-3 * monthly(self.loop.rain_mm, today) * self.loop.catch_m2 * np.ones(self.members)
        if not fallen.any():
            return
        self.volume = water.evaporate(self.y, self.volume, -fallen, self.books)
        over = np.maximum(self.volume - self.loop.volume_m3, 0.0)
        self.volume, n = water.drain(self.y, self.volume, over, self.books)
        self.gain("n_water", n)

    def _water(self, today: date, free: bool) -> None:
        loss = 1e-3 * self._evaporation_mm_m2(today) * self.p["et_factor"]
        loss = np.minimum(loss, 0.2 * self.volume)
        self.volume = water.evaporate(self.y, self.volume, loss, self.books)
        self._rain(today)
        if free and self.future.drain_l_day:
            gone = np.full(self.members, self.future.drain_l_day * 1e-3)
            self.volume, n = water.drain(self.y, self.volume, gone, self.books)
            self.gain("n_water", n)
        before = self.volume
        # a log without top-ups leaves them to the keeper's habit; one that has them is believed until water runs short
        short = self.volume < facts.choice("run.least_full_share") * self.loop.volume_m3
        self.fill(True if free or not self.logs_topup else short)
        self.row["topup_l_day"] = (self.volume - before) * 1e3
