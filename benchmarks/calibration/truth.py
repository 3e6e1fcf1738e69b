"""Loops that are not the model: other kinetics, weather nobody measured, fish that follow another growth law."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rillbed.engine.future import Arrival, Future, Sowing
from rillbed.engine.run import default_future
from rillbed.fit.follow import Followed
from rillbed.fit.setting import Setting
from rillbed.garden.system import AmmoniaSource, Bed, SourceWater, System, Tank

START = date(2025, 4, 1)
DAYS = 190


@dataclass(frozen=True)
class Wrong:
    """What is wrong with the model, for one loop."""

    kinetics: bool
    kits: bool
    weather: bool

    @classmethod
    def of(cls, seed: int) -> Wrong:
        """Every fifth loop is the model's own, every fifth has everything wrong."""
        kind = seed // 2 % 5
        return cls(kinetics=kind in (1, 4), kits=kind in (2, 4), weather=kind in (3, 4))


class Other(Followed):
    """A run by laws the fit does not have."""

    wrong: Wrong
    rng: np.random.Generator

    def begin(self, wrong: Wrong, rng: np.random.Generator) -> Other:
        """Choose the laws."""
        self.wrong, self.rng = wrong, rng
        self.own_p = dict(self.p)
        self.lag = rng.uniform(0.0, 6.0)
        self.contois = rng.uniform(0.0, 0.4)
        self.thetas = rng.uniform(1.06, 1.12), rng.uniform(1.03, 1.09)
        self.mood, self.bent = 0.0, rng.normal(0.0, 0.08)
        self.warm = rng.normal(0.0, 1.5)
        self.based: list[float] = []  # g K that came with base on each day
        return self

    def day(self, d):
        if d % 7 == 0:
            self.mood = 0.6 * self.mood + self.rng.normal(0.0, 0.2)
            self.warm = 0.7 * self.warm + self.rng.normal(0.0, 1.0)
        if self.wrong.weather:
            self.season_error = self.warm
        if self.wrong.kinetics:
            p = dict(self.own_p)
            grows = 1.0 if d >= self.lag else 0.1  # bacteria settle before they grow
            p["mu_a"], p["mu_n"] = p["mu_a"] * grows, p["mu_n"] * grows
            p["theta_a"], p["theta_n"] = (np.full(self.members, t) for t in self.thetas)
            crowded = (1.0 + self.y[10:12] / 0.5) ** self.contois  # half-saturation grows with the film
            p["k_tan"], p["k_no2"] = p["k_tan"] * crowded[0], p["k_no2"] * crowded[1]
            weight = self.groups[0].weight if self.groups else 100.0
            p["tgc_factor"] = p["tgc_factor"] * (weight / 50.0) ** self.bent * np.exp(0.5 * self.mood)
            self.p = p
        before = self._k_of_base()
        super().day(d)
        self.based.append(self._k_of_base() - before)

    def _k_of_base(self):
        return float(self.books.by_cause.get("k.base.in", np.zeros(1))[0])

    def _hours(self, consts, dissolved):
        if self.wrong.kinetics:
            m = np.exp(self.mood)
            consts = replace(consts, theta_a=consts.theta_a * m, theta_n=consts.theta_n * m)
        return super()._hours(consts, dissolved)


def startup(seed: int, wrong: Wrong) -> tuple[System, Future]:
    """A fishless start."""
    rng = np.random.default_rng([seed, 1])
    system = System(
        name=f"synthetic {seed}", latitude_deg=45.0, place="indoors", started_on=START,
        tanks=(Tank(name="tank", volume_l=float(rng.uniform(300, 2000))),),
        beds=(Bed(name="bed", kind="media", area_m2=float(rng.uniform(1, 4)), water_depth_cm=15),),
        seeding=str(rng.choice(["none", "none", "pond", "mature"])), aeration=str(rng.choice(["stones", "cascade"])),
        source_water=SourceWater(alkalinity_meq_l=6.0, no3_n_mg_l=1.0),
        ammonia_source=AmmoniaSource(source="ammonium_chloride"),
        heater_set_c=None if wrong.weather else float(rng.uniform(20, 27)),
    )  # fmt: skip
    return system, default_future(system, START, START)


def running(seed: int, wrong: Wrong) -> tuple[System, Future]:
    """Fish and plants in a loop that runs."""
    rng = np.random.default_rng([seed, 2])
    volume = float(rng.uniform(500, 2500))
    kind = str(rng.choice(["media", "raft"]))
    system = System(
        name=f"synthetic {seed}", latitude_deg=45.0, place="indoors", started_on=START, startup_path="running",
        tanks=(Tank(name="tank", volume_l=volume),),
        beds=(Bed(name="bed", kind=kind, area_m2=float(rng.uniform(2, 6)), water_depth_cm=15),), aeration="cascade",
        source_water=SourceWater(alkalinity_meq_l=float(rng.uniform(2, 5)), no3_n_mg_l=1.0),
        heater_set_c=None if wrong.weather else float(rng.uniform(22, 27)), feed="pellet_36",
    )  # fmt: skip
    fish = Arrival("nile_tilapia", round(volume / 1000 * rng.uniform(10, 25)), float(rng.uniform(10, 60)), START)
    sown = Sowing("lettuce_loose", round(22 * system.bed_area_m2 * rng.uniform(0.2, 0.8)), START)
    return system, replace(default_future(system, START, START), fish=(fish,), plantings=(sown,))


def play(seed: int, looks, days: int = DAYS) -> tuple[System, Future, Other, Wrong]:
    """Run one true loop; even seeds are starts, odd ones run with fish."""
    wrong = Wrong.of(seed)
    system, future = (startup if seed % 2 == 0 else running)(seed, wrong)
    setting = Setting.of(system, (), START, seed)
    c = setting.coordinates(days=days)
    z = c.prior(system, seed, 1)
    for attempt in range(20):
        _, params = c.values(system, z)
        if params["decay"][0] <= 0.25 * min(params["mu_a"][0], params["mu_n"][0]):
            break
        z = c.prior(system, seed + 100_000 * (attempt + 1), 1)
    if wrong.kinetics:  # constants from a wider world than the prior's
        z = 1.2 * z
    run = setting.run(c, z, days=days, looks=looks, future=future, free_from=0)
    other = Other.__new__(Other)
    other.__dict__.update(run.__dict__)
    other.begin(wrong, np.random.default_rng([seed, 3]))
    for d in range(days):
        other.day(d)
    return system, future, other, wrong
