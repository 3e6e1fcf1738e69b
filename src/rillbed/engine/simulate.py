"""The day loop: events, rules, 24 implicit hours, then fish, plants, minerals, water and the books."""

from dataclasses import replace
from datetime import date

import numpy as np

from rillbed.engine import jumps, meals, minerals, record, rules, water
from rillbed.engine.calendar import monthly
from rillbed.engine.chem import constants
from rillbed.engine.hourly import Day, hour
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.engine.world import World
from rillbed.science import heat
from rillbed.science.feed import nitrogen_g

STILL_AIR = 0.15  # share of gas transfer left when no air is pumped
KEEP_FULL = 0.7  # never let an unlogged loop dry below this share
REST = 0.3 * 0.01  # fasting fish still breathe: 30 % of a 1 % ration's worth
MEAL_SHARE = 0.45  # share of breathing that follows meals
DISSOLVED_N = 0.55  # of feed nitrogen, for the oxygen that goes with it


class Run(World):
    """One run of all members from the first day; `day(d)` advances it, `columns` fills up."""

    def day(self, d: int) -> None:
        """Advance one day and record its row."""
        today, free = self.today(d), self.free(d)
        self.row.clear()
        self.still.clear()
        seen = jumps.apply(self, d)
        self._temperature(today)
        challenged = rules.refill(self) if free and "dose" not in seen else np.zeros(self.members, bool)
        if free:
            rules.base(self)
        feed = meals.feed(self, d)
        asks = minerals.asked(self, today)
        consts = self._constants(sum((want for _, want in asks), np.zeros(self.members)) / self.volume)
        low = self._hours(consts, feed)
        minerals.day(self, consts, asks, d)
        if free and d % 7 == 0:
            rules.supplement(self)
        self._water(today, free)
        self.felt.follow(self.y[S.TAN] + 0.0, self.y[S.NO2] + 0.0, low)
        rules.certify(self, d, challenged)
        self.row["n_unexplained"] = self.books.close(self.y, self.volume)
        record.write(self, d, low, consts)

    def _temperature(self, today: date) -> None:
        if self.heater_on:
            self.excess = self.heating(today)
        cold = 0.0 if self.heater_on else 24.0
        cold = max([cold, *(b - a for what, a, b in self.still if what == "heat")])
        self.excess = float(heat.relaxed_c(self.excess, 0.0, cold, self.loop.cools_h))
        self.temp = self.season(today) + self.excess + self.offset
        self.offset *= np.exp(-1.0 / 30.0)

    def _constants(self, demand: Array) -> Day:
        p, loop, t = self.p, self.loop, self.temp
        c = constants(t, self.y, loop.pressure_atm)
        biomass = sum((g.count * g.weight for g in self.groups), np.zeros(self.members))
        per_day = p["respiration"] * np.maximum(self.feed_mean, REST * biomass) / self.volume
        n_out = DISSOLVED_N * float(nitrogen_g(1.0, self.feed.protein))
        alk_half = p["alk_half_startup"] + self.mature * (p["alk_half_mature"] - p["alk_half_startup"])
        return Day(
            theta_a=p["theta_a"] ** (t - 20.0), theta_n=p["theta_n"] ** (t - 20.0),
            decay=p["decay"] * 1.05 ** (t - 20.0), k1=c["k1"], rho=c["rho"], gamma1=c["gamma1"], kw=c["kw"],
            temp_c=np.asarray(t), strength=c["strength"], co2_per_uatm=c["co2_per_uatm"], ka_nh3=c["ka_nh3"],
            ka_po4=c["ka_po4"],
            co2_eq=c["co2_eq"], o2_sat=c["o2_sat"], kla=p["kla_o2"] * self.air,
            gut=np.asarray(2.0 / 0.25 * 1.06 ** (t - 25.0)),
            breath=(1.0 - MEAL_SHARE) * per_day, breath_n=MEAL_SHARE * p["respiration"] / n_out,
            solids_k=p["solids_k"] * 1.07 ** (t - 25.0), organic_k=p["organic_k"] * 1.07 ** (t - 25.0),
            denit=p["k_denit"] * 1.06 ** (t - 20.0), coupled=np.minimum(p["coupled_share"], 0.9), demand=demand,
            mature=self.mature, alk_half=alk_half, mu_a=p["mu_a"], mu_n=p["mu_n"], k_tan=p["k_tan"],
            k_no2=p["k_no2"], ki_nh3=p["ki_nh3"], cap_max=p["cap_max"],
        )  # fmt: skip

    def _hours(self, consts: Day, dissolved: Array) -> Array:
        """Step through the hours of the day with its meals; gives the lowest oxygen seen."""
        low = self.y[S.O2] + 0.0
        meal_steps = {int(m * self.steps / 24) for m in self.loop.meals}
        per_meal = dissolved / self.volume / max(len(meal_steps), 1)
        for i in range(self.steps):
            if i in meal_steps:
                self.y[S.GUT1] += per_meal
            self.h, self.used = hour(self.y, self._now(consts, i), self.h, self.used, 1.0 / self.steps)
            np.minimum(low, self.y[S.O2], out=low)
        return self._close_hours(consts, low)

    def _now(self, consts: Day, step: int) -> Day:
        """Give the constants of one step: what stands still now is taken out; the books stay shared."""
        hour_now = (step + 0.5) * 24.0 / self.steps
        off = {what for what, a, b in self.still if a <= hour_now < b}
        if not off:
            return consts
        kla = consts.kla * (STILL_AIR if "air" in off else 1.0)
        if "flow" not in off:
            return replace(consts, kla=kla)
        # without a pump the fish have their own tank only, and the filter gets nothing
        return replace(
            consts, kla=kla, reach=0.0, crowd=self.loop.volume_m3 / (self.loop.fish_m3 or self.loop.volume_m3)
        )

    def _close_hours(self, consts: Day, low: Array) -> Array:
        self.day_volume = self.volume + 0.0
        taken = (consts.flows["plant_nh4"] + consts.flows["plant_no3"]) * self.volume
        self.books.add("n", -(taken + consts.flows["gas"] * self.volume))
        self.row["n_plants"] = taken
        return low

    def _water(self, today: date, free: bool) -> None:
        area = min(sum(b.area for b in self.beds), max(self.loop.bed_area_m2, 1e-9)) + self.loop.surface_m2 * 0.7
        loss = monthly(self.loop.et_mm, today) * 1e-3 * area * self.p["et_factor"]
        loss = np.minimum(loss, 0.2 * self.volume)
        self.volume = water.evaporate(self.y, self.volume, loss, self.books)
        if free and self.future.drain_l_day:
            gone = np.full(self.members, self.future.drain_l_day * 1e-3)
            self.volume, n = water.drain(self.y, self.volume, gone, self.books)
            self.gain("n_water", n)
        before = self.volume
        if free or not self.logs_topup or (self.volume < KEEP_FULL * self.loop.volume_m3).any():
            self.fill()
        self.row["topup_l_day"] = (self.volume - before) * 1e3
