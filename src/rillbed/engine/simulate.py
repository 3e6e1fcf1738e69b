"""The day loop: events, rules, 24 implicit hours, then fish, plants, minerals, water and the books."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

import numpy as np

from rillbed.engine import fish as fishes
from rillbed.engine import plants, water
from rillbed.engine import stoichiometry as st
from rillbed.engine.books import Books, contents
from rillbed.engine.chem import constants
from rillbed.engine.future import Future
from rillbed.engine.hourly import Day, hour, ph_of, protons
from rillbed.engine.inputs import Crop, Event, Fish, Loop
from rillbed.engine.result import COLUMNS, Array
from rillbed.engine.state import MINERALS, S, empty

EARLY_O2 = 0.95  # share of saturation the loop starts at
SCALE_SI, SCALE_RATE = 0.8, 0.03  # calcite leaves at 3 % of calcium a day above this index (practice)
KEEP_FULL = 0.7  # never let an unlogged loop dry below this share


class Run:
    """One run of all members from the first day; `day(d)` advances it, `columns` fills up."""

    def __init__(
        self, loop: Loop, params: Mapping[str, Array], *, start: date, days: int, free_from: int,
        events: Iterable[Event] = (), future: Future | None = None, species: Mapping[str, Fish] | None = None,
        crops: Mapping[str, Crop] | None = None, steps_per_day: int = 24,
    ) -> None:  # fmt: skip
        self.loop, self.p, self.start, self.free_from = loop, params, start, free_from
        self.future = future or Future()
        self.species, self.crops = dict(species or {}), dict(crops or {})
        self.steps = steps_per_day
        self.members = m = len(params["mu_a"])
        self.events: dict[int, list[Event]] = defaultdict(list)
        for e in events:
            self.events[e.day].append(e)
        for a in self.future.fish:
            day = max((a.on - start).days, free_from)
            self.events[day].append(Event(day, "fish_in", {"count": a.count, "weight_g": a.weight_g}, a.species))
        for s in self.future.plantings:
            day = max((s.on - start).days, free_from)
            self.events[day].append(Event(day, "plant", {"count": s.count}, s.crop))
        self.logs_topup = any(e.kind == "topup" for es in self.events.values() for e in es)
        self.volume: Array = np.full(m, loop.volume_m3)
        self.y = y = empty(m) + water.source_column(loop.source)
        cap = params["cap_a0"]
        y[S.CAP_A], y[S.CAP_N] = cap, cap * params["cap_ratio"]
        self.temp = loop.temp_c[start.month - 1] + 0.0
        self.offset = 0.0
        self.kla = params["kla_o2"] + 0.0
        self.mature: Array = np.full(m, loop.mature)
        self.used = np.zeros(m)
        c = constants(self.temp, y, loop.pressure_atm)
        y[S.CO2], y[S.O2] = c["co2_eq"], EARLY_O2 * c["o2_sat"]
        self.h = np.full(m, 1e-8 * 1e3)
        self.groups: list[fishes.Group] = []
        self.beds: list[plants.Planting] = []
        self.felt = fishes.Felt(np.zeros(m), np.zeros(m), y[S.O2] + 0.0)
        self.feed_mean = np.zeros(m)
        self.passes = np.zeros(m)
        self.completion = np.full(m, np.nan)
        self.books = Books(contents(y, self.volume))
        self.columns = {name: np.zeros((days, m), np.float32) for name in COLUMNS}

    # one day ------------------------------------------------------------------------------------------------------
    def day(self, d: int) -> None:
        """Advance one day and record its row."""
        today = self.start + timedelta(days=d)
        free = d >= self.free_from
        row: dict[str, Array | float] = defaultdict(float)
        seen = self._events(d, row)
        self._temperature(today)
        dosed = self._dose_rule(row) if free and not seen & {"dose"} else np.zeros(self.members, bool)
        if free:
            self._base_rule(row)
        feed = self._feed(d, free, row)
        demand, gains = self._plant_demand(today)
        consts = self._constants(demand)
        low = self._hours(consts, feed, row)
        self._minerals(consts, gains, d, free, row)
        self._water(today, free, row)
        y, fl = self.y, consts.flows
        self.felt.follow(y[S.TAN] + 0.0, y[S.NO2] + 0.0, low)
        gone = (y[S.TAN] < self.future.clear_mg_l) & (y[S.NO2] < self.future.clear_mg_l)
        self.passes = np.where(dosed & gone, self.passes + 1, np.where(dosed | ~gone, 0, self.passes))
        newly = np.isnan(self.completion) & (self.passes >= 2)
        self.completion[newly] = d
        self.mature = np.where(np.isnan(self.completion), self.mature, np.minimum(self.mature + 1 / 60, 1.0))
        row["n_unexplained"] = self.books.close(y, self.volume)
        row["n_excreted"] = (fl["excreted"]) * self.day_volume
        row["n_mineralised"] = fl["mineralised"] * self.day_volume
        row["n_nitrified"] = fl["nitritation"] * self.day_volume
        row["n_gas"] = fl["gas"] * self.day_volume
        self._record(d, row, low, consts)

    def _events(self, d: int, row: dict[str, Array | float]) -> set[str]:
        kinds: set[str] = set()
        for e in self.events.get(d, ()):
            kinds.add(e.kind)
            v = e.values
            if e.kind == "dose":
                row["n_dose"] = row["n_dose"] + water.dose(self.y, self.volume, dict(v), self.books)
            elif e.kind == "drain":
                self.volume, n = water.drain(self.y, self.volume, v["share"] * self.volume, self.books)
                row["n_water"] = row["n_water"] + n
                if v.get("refill", 1.0):
                    self._fill()
            elif e.kind == "topup":
                self.volume = water.pour(
                    self.y, self.volume, np.full(self.members, v["m3"]), self.loop.source, self.books
                )
            elif e.kind == "temp":
                season = self._season(self.start + timedelta(days=d))
                self.offset = v["temp_c"] - season
            elif e.kind == "fish_in":
                kind = self.species.get(e.name, Fish())
                self.groups.append(
                    fishes.Group(kind, e.label or e.name, v["count"], np.full(self.members, v["weight_g"]))
                )
            elif e.kind == "fish_out":
                self._fish_out(e)
            elif e.kind == "weigh":
                for g in self.groups:
                    if e.label in ("", g.name):
                        g.weight = np.full(self.members, v["weight_g"])
            elif e.kind == "plant":
                self.beds.append(
                    plants.start(self.crops.get(e.name, Crop()), e.label or e.name, v["count"], d, self.members)
                )
            elif e.kind == "pick":
                for bed in self.beds:
                    if e.label in ("", bed.name):
                        plants.remove(bed, min(v.get("share", v.get("count", 0.0) / bed.count), 1.0))
                self.beds = [b for b in self.beds if b.count > 0.01]
            elif e.kind == "clean":
                self.y[S.CAP_A] *= v["kept"]
                self.y[S.CAP_N] *= v["kept"]
            elif e.kind == "kla":
                self.kla = self.p["kla_o2"] * v["factor"]
        return kinds

    def _fish_out(self, e: Event) -> None:
        left = e.values["count"]
        for g in self.groups:
            if left > 0 and e.label in ("", g.name):
                taken = min(g.count, left)
                g.count -= taken
                left -= taken
        self.groups = [g for g in self.groups if g.count > 0]

    def _season(self, today: date) -> float:
        """Monthly values interpolated between mid-months."""
        months = self.future.temp_c or self.loop.temp_c
        return _monthly(months, today)

    def _temperature(self, today: date) -> None:
        self.temp = self._season(today) + self.offset
        self.offset *= np.exp(-1.0 / 30.0)

    def _dose_rule(self, row: dict[str, Array | float]) -> Array:
        f = self.future
        if f.refill_to_mg_l is None or self.groups:
            return np.zeros(self.members, bool)
        y = self.y
        go = (y[S.TAN] < f.refill_below_mg_l) & (y[S.NO2] < f.hold_no2_mg_l)
        grams = np.where(go, f.refill_to_mg_l - y[S.TAN], 0.0) * self.volume
        extra = {} if f.refill_salt else {"alk": grams * st.EQ_PER_G["n_nh4"]}
        row["n_dose"] = row["n_dose"] + water.dose(y, self.volume, {"tan": grams, **extra}, self.books)
        return np.asarray(go)

    def _base_rule(self, row: dict[str, Array | float]) -> None:
        f = self.future
        if f.base_floor_meq_l is None:
            return
        low = self.y[S.ALK] < f.base_floor_meq_l
        if low.any():
            eq = np.where(low, f.base_target_meq_l - self.y[S.ALK], 0.0) * self.volume
            grams = eq / st.EQ_PER_G[f.base_element]
            water.dose(self.y, self.volume, {"alk": eq, f.base_element: grams}, self.books)

    def _feed(self, d: int, free: bool, row: dict[str, Array | float]) -> Array:
        """Feed of today per meal-N dissolved (g N); grows the fish; solids and minerals go to the water."""
        m, loop, p = self.members, self.loop, self.p
        logged = sum(e.values["grams"] for e in self.events.get(d, ()) if e.kind == "feed")
        has_log = any(e.kind == "feed" for e in self.events.get(d, ()))
        wants, fcrs = [], []
        for g in self.groups:
            fcr = g.kind.fcr * p["fcr_factor"]
            wants.append(fishes.ration(g, np.asarray(self.temp), p["tgc_factor"], fcr, self.felt))
            fcrs.append(fcr)
        total = sum(wants, np.zeros(m))
        if has_log:
            scale = logged / np.maximum(total, 1e-9)
        elif free and self.future.feed_g_day is not None:
            scale = np.minimum(self.future.feed_g_day / np.maximum(total, 1e-9), 1.0)
        else:
            scale = np.full(m, self.future.feed_share if free else 1.0)
        dissolved = np.zeros(m)
        grams_all = np.zeros(m)
        solids_all = np.zeros(m)
        for g, want, fcr in zip(self.groups, wants, fcrs, strict=True):
            grams = want * scale
            most = 1.3 * fishes.gain_max(g, np.asarray(self.temp), p["tgc_factor"])
            gain = np.minimum(grams / fcr / g.count, most)
            total_n, kept, out, solids = fishes.nitrogen_split(
                loop.feed, grams, gain * g.count, g.kind.n_body, p["uneaten"], p["faecal"]
            )
            g.weight = g.weight + gain
            dissolved, grams_all, solids_all = dissolved + out, grams_all + grams, solids_all + solids
            row["n_feed"] = row["n_feed"] + total_n
            row["n_fish"] = row["n_fish"] + kept
        mineral = p["solids_share_media"] if loop.media else p["solids_share_raft"]
        stays = solids_all * np.minimum(mineral, 0.95)
        self.y[S.SOLIDS] += stays / self.volume
        row["n_solids_out"] = row["n_solids_out"] + solids_all - stays
        self.books.add("n", stays + dissolved)
        for e, share in loop.feed.dissolved.items():
            amount = grams_all * loop.feed.content[e] * 1e-3 * share
            self.y[MINERALS[e]] += amount / self.volume
            self.y[S.ALK] += st.ALK[f"release_{e}"] * amount / self.volume
            self.books.add(e, amount)
        self.feed_mean = self.feed_mean + (1 - np.exp(-0.5)) * (grams_all - self.feed_mean)
        row["feed_g_day"] = grams_all
        return dissolved

    def _plant_demand(self, today: date) -> tuple[Array, list[tuple[Array, Array]]]:
        light = _monthly(self.loop.light, today)
        gains = []
        total = np.zeros(self.members)
        for bed in self.beds:
            gain = plants.potential(bed, np.asarray(self.temp), light, self.p["dm_gain"])
            want = plants.demand(bed, "n", gain)
            gains.append((gain, want))
            total = total + want
        return total / self.volume, gains

    def _constants(self, demand: Array) -> Day:
        p, loop, t = self.p, self.loop, self.temp
        c = constants(t, self.y, loop.pressure_atm)
        gut_n = sum((g.count * g.weight for g in self.groups), np.zeros(self.members))
        rest = 0.3 * 0.01 * gut_n  # fasting fish still breathe: 30 % of a 1 % ration's worth
        per_day = p["respiration"] * np.maximum(self.feed_mean, rest) / self.volume
        n_out = 0.55 * loop.feed.protein * 0.16
        half = 0.45  # share of breathing that follows meals
        alk_half = p["alk_half_startup"] + self.mature * (p["alk_half_mature"] - p["alk_half_startup"])
        k_denit = p["k_denit"] * 1.06 ** (t - 20.0)
        return Day(
            theta_a=p["theta_a"] ** (t - 20.0), theta_n=p["theta_n"] ** (t - 20.0),
            decay=p["decay"] * 1.05 ** (t - 20.0), k1=c["k1"], rho=c["rho"], ka_nh3=c["ka_nh3"], ka_po4=c["ka_po4"],
            co2_eq=c["co2_eq"], o2_sat=c["o2_sat"], kla=self.kla,
            gut=np.asarray(2.0 / 0.25 * 1.06 ** (t - 25.0)),
            breath=(1.0 - half) * per_day, breath_n=half * p["respiration"] / n_out,
            solids_k=p["solids_k"] * 1.07 ** (t - 25.0), organic_k=p["organic_k"] * 1.07 ** (t - 25.0),
            denit=k_denit, coupled=np.minimum(p["coupled_share"], 0.9), demand=demand, mature=self.mature,
            alk_half=alk_half, mu_a=p["mu_a"], mu_n=p["mu_n"], k_tan=p["k_tan"], k_no2=p["k_no2"],
            ki_nh3=p["ki_nh3"], cap_max=p["cap_max"],
        )  # fmt: skip

    def _hours(self, consts: Day, dissolved: Array, row: dict[str, Array | float]) -> Array:
        """Step through the hours of the day with its meals; gives the lowest oxygen seen."""
        low = self.y[S.O2] + 0.0
        meal_steps = {int(m * self.steps / 24) for m in self.loop.meals}
        per_meal = dissolved / self.volume / max(len(meal_steps), 1)
        for i in range(self.steps):
            if i in meal_steps:
                self.y[S.GUT1] += per_meal
            self.h, self.used = hour(self.y, consts, self.h, self.used, 1.0 / self.steps)
            np.minimum(low, self.y[S.O2], out=low)
        return self._close_hours(consts, low, row)

    def _close_hours(self, consts: Day, low: Array, row: dict[str, Array | float]) -> Array:
        self.day_volume = self.volume + 0.0
        taken = (consts.flows["plant_nh4"] + consts.flows["plant_no3"]) * self.volume
        self.books.add("n", -(taken + consts.flows["gas"] * self.volume))
        row["n_plants"] = taken
        return low

    def _minerals(
        self, consts: Day, gains: list[tuple[Array, Array]], d: int, free: bool, row: dict[str, Array | float]
    ) -> None:
        y, v = self.y, self.volume
        wanted = consts.demand * v
        ratio = np.asarray(row["n_plants"]) / np.maximum(wanted, 1e-12)
        for bed, (_, want) in zip(self.beds, gains, strict=True):
            bed.content["n"] = bed.content["n"] + want * ratio
        for e in ("k", "ca", "mg", "p", "fe", "s"):
            asks = [plants.demand(bed, e, gain) for bed, (gain, _) in zip(self.beds, gains, strict=True)]
            if not asks:
                break
            total = sum(asks, np.zeros(self.members))
            pool = y[MINERALS[e]]
            took = pool * (1.0 - 1.0 / (1.0 + total / v / (plants.HALF[e] + pool)))
            y[MINERALS[e]] = pool - took
            y[S.ALK] += st.ALK[f"uptake_{e}"] * took
            self.books.add(e, -took * v)
            for bed, ask in zip(self.beds, asks, strict=True):
                bed.content[e] = bed.content[e] + took * v * ask / np.maximum(total, 1e-12)
        shares, weights = np.zeros(self.members), 0.0
        for bed, (gain, _) in zip(self.beds, gains, strict=True):
            share, _ = plants.grow(bed, gain)
            shares, weights = shares + share * bed.area, weights + bed.area
        row["growth_share"] = shares / weights if weights else np.ones(self.members)
        self._harvests(d, free)
        lost = y[S.FE] * -np.expm1(-self.p["fe_loss"])
        y[S.FE] -= lost
        self.books.add("fe", -lost * v)
        self._scale(consts)
        if free and d % 7 == 0:
            for e, target in self.future.supplement_to_mg_l:
                grams = np.maximum(target - y[MINERALS[e]], 0.0) * v
                water.dose(y, v, {e: grams}, self.books)

    def _harvests(self, d: int, free: bool) -> None:
        for i, bed in enumerate(self.beds):
            if free and d - bed.day >= bed.crop.days:
                again = plants.start(bed.crop, bed.name, bed.count if self.future.replant else 0.0, d, self.members)
                self.beds[i] = again
        self.beds = [b for b in self.beds if b.count > 0.01]

    def _scale(self, consts: Day) -> None:
        c = constants(self.temp, self.y, self.loop.pressure_atm)
        co3 = consts.k1 * self.y[S.CO2] / self.h * consts.k1 * consts.rho / self.h
        si = np.log10(np.maximum(self.y[S.CA] / st.MOLAR_G["ca"] * co3 * 1e-6 / c["ksp"], 1e-12))
        lost = np.where(si > SCALE_SI, SCALE_RATE * self.y[S.CA], 0.0)
        lost = np.minimum(lost, np.maximum(self.y[S.ALK] - 0.5, 0.0) / -st.ALK["scale"])
        self.y[S.CA] -= lost
        self.y[S.ALK] += st.ALK["scale"] * lost
        self.books.add("ca", -lost * self.volume)

    def _water(self, today: date, free: bool, row: dict[str, Array | float]) -> None:
        area = min(sum(b.area for b in self.beds), max(self.loop.bed_area_m2, 1e-9)) + self.loop.surface_m2 * 0.7
        loss = _monthly(self.loop.et_mm, today) * 1e-3 * area * self.p["et_factor"]
        loss = np.minimum(loss, 0.2 * self.volume)
        self.volume = water.evaporate(self.y, self.volume, loss, self.books)
        if free and self.future.drain_l_day:
            gone = np.full(self.members, self.future.drain_l_day * 1e-3)
            self.volume, n = water.drain(self.y, self.volume, gone, self.books)
            row["n_water"] = row["n_water"] + n
        full = self.loop.volume_m3
        before = self.volume
        if free or not self.logs_topup or (self.volume < KEEP_FULL * full).any():
            self._fill()
        row["topup_l_day"] = (self.volume - before) * 1e3

    def _fill(self) -> None:
        need = np.maximum(self.loop.volume_m3 - self.volume, 0.0)
        self.volume = water.pour(self.y, self.volume, need, self.loop.source, self.books)

    def _record(self, d: int, row: dict[str, Array | float], low: Array, consts: Day) -> None:
        y, c = self.y, self.columns
        self.h = protons(y, consts, self.h)
        values: dict[str, Array | float] = {
            "tan_mg_l": y[S.TAN], "no2_mg_l": y[S.NO2], "no3_mg_l": y[S.NO3], "ph": ph_of(self.h),
            "nh3_mg_l": y[S.TAN] * consts.ka_nh3 / (consts.ka_nh3 + self.h),
            "alkalinity_meq_l": y[S.ALK], "co2_mg_l": y[S.CO2] * 44.009, "o2_mg_l": y[S.O2], "o2_min_mg_l": low,
            "cap_a_g_m3_day": y[S.CAP_A], "cap_n_g_m3_day": y[S.CAP_N], "solids_n_mg_l": y[S.SOLIDS] + y[S.ORGANIC],
            "temp_c": self.temp, "volume_m3": self.volume,
            "fish_count": sum(g.count for g in self.groups),
            "fish_biomass_g": sum((g.count * g.weight for g in self.groups), np.zeros(self.members)),
            "plant_dm_g": sum((b.mass for b in self.beds), np.zeros(self.members)),
            "plant_area_m2": sum(b.area for b in self.beds), **{f"{e}_mg_l": y[r] for e, r in MINERALS.items()}, **row,
        }  # fmt: skip
        values["fish_weight_g"] = values["fish_biomass_g"] / max(float(np.max(values["fish_count"])), 1e-9)
        for name, value in values.items():
            c[name][d] = value


def _monthly(months: tuple[float, ...], today: date) -> float:
    """Mid-month values joined by straight lines."""
    x = today.month - 1 + (today.day - 15.5) / 30.4
    i = int(np.floor(x))
    return float(months[i % 12] + (x - i) * (months[(i + 1) % 12] - months[i % 12]))
