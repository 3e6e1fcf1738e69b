"""One implicit step of the nitrogen cascade, oxygen, CO2 and pH, the same words for all members or for one.

Scheme of the reduced model: every Monod conversion is the positive root of one quadratic, so nothing goes
negative and nitrogen is conserved to rounding at any step length; first order in the step.

`hour` and what it calls take numbers or arrays, change nothing and choose nothing by their values: numpy runs them on
all members at once, and a compiler, where there is one, on each member in turn (see `engine.compiled`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np

from rillbed import facts
from rillbed.engine import stoichiometry as st
from rillbed.engine.pools import Flows, Pools, Step
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.science import gas, nitrifier
from rillbed.science.carbonate import hydrogen_root
from rillbed.science.cascade import monod_root
from rillbed.science.gas import oxygen_root, relaxed_co2
from rillbed.science.nitrifier import grown, ripened
from rillbed.science.polish import polished

MOL_C = st.MOLAR_G["c"]
MOL_N = st.MOLAR_G["n"]
MOL_P = st.MOLAR_G["p"]
O2_1, O2_2 = st.O2_USE["nitritation"], st.O2_USE["nitratation"]
FREED, ACID = st.ALK["ammonification"], st.ALK["nitritation"]  # eq per g
TAKEN_NH4, TAKEN_NO3, LOST = st.ALK["plant_nh4"], st.ALK["plant_no3"], st.ALK["denitrification"]
FERMENTED_CO2 = st.FERMENTED_CO2
K_UPTAKE = facts.choice("plant.half_n_mg_l")  # g/m3, half-saturation of plant nitrogen uptake
CO2_PER_O2 = 1.0 / (st.O2_C * MOL_C)  # mol per g respired
LEAST_O2 = 1e-9  # g/m3, where oxygen divides
K_BREATH = gas.OXYGEN_HALF_SATURATION_MG_L
BENCH_FROM_H = 10.0 ** (3.0 - 8.8)  # mol/m3: above pH 8.8 the short form is no longer good to 0.001


@dataclass
class Day:
    """What is constant over one day, each a scalar or (members,) array; rates per day."""

    theta_a: Array  # temperature factor of step one
    theta_n: Array
    decay: Array
    k1: Array  # first dissociation of CO2, mol/m3, ionic strength included
    rho: Array  # K2*gamma1^2/(K1*gamma2)
    gamma1: Array  # activity coefficient of single charges
    kw: Array  # ion product of water over gamma1, mol2/m6
    temp_c: Array
    strength: Array  # ionic strength, mol/L, of each member
    ka_nh3: Array  # mol/m3 of H+ activity
    ka_po4: Array
    co2_eq: Array  # mol/m3 at equilibrium with air
    o2_sat: Array
    kla: Array
    gut: Array  # 1/day, each of the two excretion stages
    breath: Array  # g O2/m3/day wanted whatever was eaten today
    breath_n: Array  # g O2 per g N leaving the gut
    solids_k: Array
    organic_k: Array
    denit: Array
    coupled: Array
    demand: Array  # plant N, g/m3/day
    mature: Array  # 0 start-up ... 1 mature: weakens the pH effect
    alk_half: Array
    mu_a: Array
    mu_n: Array
    k_tan: Array
    k_no2: Array
    ki_nh3: Array
    cap_max: Array
    reach: float = 1.0  # share of the filter that the water passes
    crowd: float | Array = 1.0  # how much smaller the water is that the fish breathe in
    flows: dict[str, Array] = field(default_factory=dict)  # g/m3 of each of `Flows` since the day began

    @cached_property
    def nh3_eq(self) -> Array:
        """Alkalinity of ammonia, eq per g of N, times H+ and its constant."""
        return np.asarray(self.ka_nh3 / MOL_N)

    @cached_property
    def po4_eq(self) -> Array:
        """Alkalinity of phosphate, eq per g of P, times H+ and its constant."""
        return np.asarray(self.ka_po4 / MOL_P)


def step_of(day: Day, h: float, members: int) -> Array:
    """Give the constants of steps of `h` days: a row for each name of `Step`, (names, members)."""
    kla, gut, half = h * day.kla, h * day.gut, half_o2()
    co2_out = np.maximum(gas.CO2_TO_O2_TRANSFER * kla, gas.LEAST_TRANSFER)
    rate_a, rate_n = (
        h * day.reach * (theta * (float(nitrifier.oxygen_factor.inner(1.0, k)) * (1.0 + k)))
        for theta, k in zip((day.theta_a, day.theta_n), half, strict=True)
    )
    values: dict[str, Array | float] = {
        "gut": gut, "gut_stays": np.exp(-gut), "breath": h * day.breath, "breath_n": day.breath_n, "crowd": day.crowd,
        "o2_in": kla * day.o2_sat, "o2_gain": 1.0 + kla, "solids_rot": -np.expm1(-h * day.solids_k),
        "organic_rot": -np.expm1(-h * day.organic_k), "demand": h * day.demand, "half_o2_a": half[0],
        "half_o2_n": half[1], "rate_a": rate_a, "rate_n": rate_n, "mature": day.mature, "alk_half": day.alk_half,
        "ki_nh3": day.ki_nh3, "grow_a": day.mu_a, "grow_n": day.mu_n, "decay": h * day.decay, "k_tan": day.k_tan,
        "k_no2": day.k_no2, "per_cap": 1.0 / day.cap_max, "uncoupled": 1.0 - day.coupled,
        "denit_stays": np.exp(-h * day.denit), "co2_out": co2_out, "co2_in": co2_out * day.co2_eq,
        "k_breath": K_BREATH, "k_uptake": K_UPTAKE, "none": 0.0, "one": 1.0, "k1": day.k1, "rho": day.rho,
        "gamma1": day.gamma1, "kw": day.kw, "ka_nh3": day.ka_nh3, "ka_po4": day.ka_po4, "nh3_eq": day.nh3_eq,
        "po4_eq": day.po4_eq,
    }  # fmt: skip
    rows = np.empty((len(Step._fields), members))  # all of one shape: numpy is slower on scalars
    for row, name in zip(rows, Step._fields, strict=True):
        row[...] = values[name]
    return rows


def half_o2() -> tuple[float, float]:
    """Oxygen that halves each of the two steps, g/m3."""
    return nitrifier.OXYGEN_HALF_AMMONIA_STEP_MG_L, nitrifier.OXYGEN_HALF_NITRITE_STEP_MG_L


def ph_of(h: Array) -> Array:
    """Activity in mol/m3 to pH."""
    return 3.0 - np.log10(h)


def short_protons(co2: Array, alk: Array, tan: Array, p: Array, h: Array, c: "Step | Day") -> Array:
    """H+ activity (mol/m3) from CO2 and alkalinity; ammonia and phosphate taken at the last, `h`. No iteration."""
    held = alk - tan * c.nh3_eq / (c.ka_nh3 + h) - p * c.po4_eq / (c.ka_po4 + h)
    return hydrogen_root(co2, held, c.k1, c.rho, c.gamma1, c.kw)


def speeds(tan: Array, o2: Array, alk: Array, h: Array, c: Step) -> tuple[Array, Array]:
    """Give what a unit of each capacity could turn over in a step: warmth, pH, oxygen, alkalinity, ammonia."""
    alk = np.maximum(alk, c.none)
    shared = ripened(ph_of(h), c.mature) * alk * o2 / (c.alk_half + alk)
    free = (h + c.ka_nh3) * c.ki_nh3
    second = c.rate_n * shared / (c.half_o2_n + o2)
    return c.rate_a * shared / (c.half_o2_a + o2), second * (free / (free + tan * c.ka_nh3))


def hour(s: Pools, c: Step) -> tuple[Pools, Flows]:
    """Give the pools one step later and what flowed in it; H+ is that of the short form."""
    # eaten nitrogen passes two equal stages, solved exactly; solids and organic sources mineralise
    gut1 = s.gut1 * c.gut_stays
    inside = s.gut1 + s.gut2 - gut1
    out = np.maximum(inside - (s.gut2 * c.gut_stays + c.gut * gut1), c.none)
    solids_rotten, organic_rotten = s.solids * c.solids_rot, s.organic * c.organic_rot
    fresh = solids_rotten + organic_rotten
    freed = out + fresh
    # oxygen before the conversions: their rates see the new value
    breath = c.breath + c.breath_n * out
    want = c.crowd * breath + s.used * (c.k_breath / np.maximum(s.o2, LEAST_O2) + c.one)
    o2 = oxygen_root(s.o2 + c.o2_in, c.o2_gain, want, c.k_breath)
    airless = c.k_breath / (c.k_breath + o2)
    respired = breath - breath * airless
    speed_a, speed_n = speeds(s.tan, o2, s.alk, s.h, c)
    # first step with plants competing for ammonium
    b = c.one + c.demand / (c.k_uptake + s.tan + s.no3)
    pool = s.tan + freed
    tan = monod_root(pool, c.k_tan, s.cap_a * speed_a, b)
    f1 = np.maximum(pool - b * tan, c.none)
    nh4 = np.maximum(pool - f1 - tan, c.none)  # where no plant asks, rounding is all there is
    # second step, then nitrate: coupled loss, denitrification, plants
    pool = s.no2 + f1
    f2 = np.maximum(pool - monod_root(pool, c.k_no2, s.cap_n * speed_n, c.one), c.none)
    no2 = pool - f2
    made = s.no3 + f2
    kept = (s.no3 + f2 * c.uncoupled) * c.denit_stays
    lost = np.maximum(made - kept, c.none)
    no3 = kept / b
    up = kept - no3
    # from the pools, not from what was turned over: of a tiny capacity that is all rounding
    cap_a = s.cap_a * grown(c.grow_a * speed_a * tan / (c.k_tan + tan), s.cap_a * c.per_cap, c.decay)
    cap_n = s.cap_n * grown(c.grow_n * speed_n * no2 / (c.k_no2 + no2), s.cap_n * c.per_cap, c.decay)
    bacterial = FREED * freed + ACID * f1
    alk = s.alk + (bacterial + TAKEN_NH4 * nh4 + TAKEN_NO3 * up + LOST * lost)
    # CO2 relaxes exactly towards what air, breath, decay without oxygen and the bacteria's acid make of it
    supply = c.co2_in + respired * CO2_PER_O2 + airless * airless * freed * FERMENTED_CO2
    co2 = relaxed_co2(s.co2, supply, c.co2_out, bacterial)
    h = short_protons(co2, alk, tan, s.p, s.h, c)
    used = O2_1 * f1 + O2_2 * f2
    pools = Pools(
        tan, no2, no3, s.solids - solids_rotten, s.organic - organic_rotten, gut1, inside - out, co2, o2, alk,
        cap_a, cap_n, s.p, h, used,
    )  # fmt: skip
    return pools, Flows(out, fresh, f1, f2, lost, nh4, up, respired)


def benched(co2: Array, alk: Array, tan: Array, p: Array, h: Array, c: "Step | Day") -> Array:
    """Give H+ with that of the full speciation for the members above pH 8.8, from that of the short form."""
    high = h < BENCH_FROM_H
    if not np.count_nonzero(high):
        return h
    each = (np.broadcast_to(v, high.shape)[high] for v in
            (h, co2, alk, tan, p, c.k1, c.rho, c.gamma1, c.kw, c.ka_nh3, c.ka_po4))  # fmt: skip
    h = h.copy()
    h[high] = polished(*each)
    return h


def protons(y: Array, day: Day, h: Array) -> Array:
    """H+ activity (mol/m3, members) of the water as it stands, from the last, by whichever form is good."""
    co2, alk, tan, p = y[S.CO2], y[S.ALK], y[S.TAN], y[S.P]
    return benched(co2, alk, tan, p, short_protons(co2, alk, tan, p, h, day), day)


@dataclass
class Course:
    """Where the hours of a day have come to: what is handed on, and what the day has seen so far; all (members,)."""

    h: Array
    used: Array
    low: Array  # least oxygen, g/m3
    flowed: Array  # (flows, members), g/m3

    @classmethod
    def begin(cls, y: Array, h: Array, used: Array) -> "Course":
        """Begin a day."""
        return cls(h.copy(), used.copy(), y[S.O2].copy(), np.zeros((len(Flows._fields), y.shape[1])))


class Stretch(NamedTuple):
    """Some steps on which nothing changes but the water."""

    steps: int
    rows: Array  # constants of one step, of `step_of`
    meal: Array | None  # g N/m3 eaten before the first step


def advance(y: Array, on: Course, stretches: Sequence[Stretch]) -> None:
    """Move the state and the course of the day by some stretches, in place."""
    for steps, rows, meal in stretches:
        if meal is not None:
            y[S.GUT1] += meal
        _advance(y, on, rows, steps)


def _advance(y: Array, on: Course, rows: Array, steps: int) -> None:
    s, c = Pools._make([*y[: S.CAP_N + 1], y[S.P], on.h, on.used]), Step._make(rows)
    flowed, low = [*on.flowed], on.low
    for _ in range(steps):
        s, flows = hour(s, c)
        s = s._replace(h=benched(s.co2, s.alk, s.tan, s.p, s.h, c))
        flowed = [so_far + now for so_far, now in zip(flowed, flows, strict=True)]
        low = np.minimum(low, s.o2)
    for row, values in zip(y, s[: S.CAP_N + 1], strict=False):
        row[...] = values
    on.h, on.used, on.low, on.flowed = s.h, s.used, low, np.stack(flowed)
