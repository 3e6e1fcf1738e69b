"""One implicit step of the nitrogen cascade, oxygen, CO2 and pH for all members at once.

Scheme of the reduced model: every Monod conversion is the positive root of one quadratic, so nothing goes
negative and nitrogen is conserved to rounding at any step length; first order in the step.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import stoichiometry as st
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.science import carbonate, gas, nitrifier
from rillbed.science.cascade import monod_root
from rillbed.science.polish import polished_ph

ROTTING = slice(S.SOLIDS, S.ORGANIC + 1)
CAPS = slice(S.CAP_A, S.CAP_N + 1)
MOL_C = st.MOLAR_G["c"]
MOL_N = st.MOLAR_G["n"]
MOL_P = st.MOLAR_G["p"]
O2_1, O2_2 = st.O2_USE["nitritation"], st.O2_USE["nitratation"]
K_UPTAKE = facts.choice("plant.half_n_mg_l")  # g/m3, half-saturation of plant nitrogen uptake
LEAST_O2 = 1e-9  # g/m3, where oxygen divides
K_BREATH = gas.OXYGEN_HALF_SATURATION_MG_L
BENCH_FROM_H = 10.0 ** (3.0 - 8.8)  # mol/m3: above pH 8.8 the short form is no longer good to 0.001
FLOWS = ("excreted", "mineralised", "nitritation", "nitratation", "gas", "plant_nh4", "plant_no3", "respired")


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
    flows: dict[str, Array] = field(default_factory=dict)

    def book(self, name: str, amount: Array) -> None:
        """Add g/m3 of one flow to the day's books."""
        if name in self.flows:
            self.flows[name] += amount
        else:
            self.flows[name] = amount.copy()


class Step:
    """What is constant over the steps of one day: rates as amounts or shares of one step of `h` days."""

    def __init__(self, day: Day, h: float, members: int) -> None:
        def each(value: Array | float) -> Array:
            return np.array(np.broadcast_to(value, members))  # of one shape: numpy is slower on scalars

        self.day = day
        gut = h * each(day.gut)
        self.gut, self.gut_stays = gut, np.exp(-gut)
        self.breath, self.breath_n, self.crowd = h * each(day.breath), each(day.breath_n), each(day.crowd)
        self.o2_in, self.o2_gain = h * each(day.kla * day.o2_sat), 1.0 + h * each(day.kla)
        self.rots = -np.expm1(-h * np.stack([each(day.solids_k), each(day.organic_k)]))
        self.demand = h * each(day.demand)
        self.rate = h * np.stack([each(day.theta_a), each(day.theta_n)])
        self.grow, self.decay = np.stack([each(day.mu_a), each(day.mu_n)]), h * each(day.decay)
        self.half, self.per_cap = np.stack([day.k_tan, day.k_no2]), 1.0 / each(day.cap_max)
        self.uncoupled, self.denit_stays = 1.0 - each(day.coupled), np.exp(-h * each(day.denit))
        self.co2_out = gas.CO2_TO_O2_TRANSFER * h * each(day.kla)
        self.co2_in = self.co2_out * day.co2_eq
        self.none, self.one, self.least = each(0.0), each(1.0), each(LEAST_O2)
        self.k_breath = each(K_BREATH)
        self.left = np.empty((2, members))  # room for what the two conversions leave


def protons(y: Array, day: Day, h_last: Array) -> Array:
    """H+ activity (mol/m3) from CO2 and alkalinity; ammonia and phosphate taken at the last pH. No iteration."""
    a = y[S.ALK] - y[S.TAN] / MOL_N * day.ka_nh3 / (day.ka_nh3 + h_last)
    a = a - y[S.P] / MOL_P * day.ka_po4 / (day.ka_po4 + h_last)
    h = carbonate.hydrogen_root(y[S.CO2], a, day.k1, day.rho, day.gamma1, day.kw)
    high = h < BENCH_FROM_H
    return _bench(y, day, h, high) if high.any() else h


def _bench(y: Array, day: Day, h: Array, high: NDArray[np.bool_]) -> Array:
    """Replace H+ of the members above pH 8.8 by that of the full speciation."""
    temp = np.broadcast_to(day.temp_c, high.shape)[high]
    ph = polished_ph(
        ph_of(h[high]), y[S.CO2][high], y[S.ALK][high], temp, day.strength[high], y[S.TAN][high], y[S.P][high]
    )
    h = h.copy()
    h[high] = 10.0 ** (3.0 - ph)
    return h


def ph_of(h: Array) -> Array:
    """Activity in mol/m3 to pH."""
    return 3.0 - np.log10(h)


def modifiers(y: Array, day: Day, h: Array) -> Array:
    """Factors on the two nitrifying steps, (2, members): pH, oxygen, alkalinity, ammonia; 1 at the reference."""
    f = day.reach * nitrifier.ph_factor.inner(ph_of(h), day.mature)
    f = f * nitrifier.alkalinity_factor.inner(y[S.ALK], day.alk_half)
    both = np.asarray(f * nitrifier.oxygen_factor.inner(y[S.O2], half_o2()))
    both[1] *= nitrifier.ammonia_inhibition.inner(y[S.TAN] / (1.0 + h / day.ka_nh3), day.ki_nh3)
    return both


def half_o2() -> Array:
    """Oxygen that halves each of the two steps, g/m3."""
    return np.array([[nitrifier.OXYGEN_HALF_AMMONIA_STEP_MG_L], [nitrifier.OXYGEN_HALF_NITRITE_STEP_MG_L]])


def hour(y: Array, c: Step, h_last: Array, used: Array) -> tuple[Array, Array]:
    """Advance `y` in place by one step; gives H+ (mol/m3) and the oxygen nitrifiers used in it (g/m3)."""
    day, tan, no2, no3, o2, co2 = c.day, y[S.TAN], y[S.NO2], y[S.NO3], y[S.O2], y[S.CO2]
    gut1, gut2, rotting, caps, alk = y[S.GUT1], y[S.GUT2], y[ROTTING], y[CAPS], y[S.ALK]
    # eaten nitrogen passes two equal stages, solved exactly; solids and organic sources mineralise
    inside = gut1 + gut2
    gut1 *= c.gut_stays
    inside -= gut1
    out = np.maximum(inside - (gut2 * c.gut_stays + c.gut * gut1), c.none)
    gut2[:] = inside - out
    rotten = rotting * c.rots
    rotting -= rotten
    fresh = rotten[0] + rotten[1]
    # oxygen before the conversions: their rates see the new value
    breath = c.breath + c.breath_n * out
    want = c.crowd * breath + used * (K_BREATH / np.maximum(o2, c.least) + c.one)
    o2[:] = gas.oxygen_root(o2 + c.o2_in, c.o2_gain, want, c.k_breath)
    respired = breath * o2 / (c.k_breath + o2)
    f = c.rate * modifiers(y, day, h_last)
    most = caps * f
    # first step with plants competing for ammonium
    b = c.one + c.demand / (K_UPTAKE + tan + no3)
    s = tan + out + fresh
    x = monod_root(s, c.half[0], most[0], b)
    f1 = np.maximum(s - b * x, c.none)
    nh4 = np.maximum(s - f1 - x, c.none)  # where no plant asks, rounding is all there is
    tan[:] = x
    # second step, then nitrate: coupled loss, denitrification, plants
    s2 = no2 + f1
    z = monod_root(s2, c.half[1], most[1], c.one)
    f2 = np.maximum(s2 - z, c.none)
    no2[:] = s2 - f2
    kept = (no3 + f2 * c.uncoupled) * c.denit_stays
    lost = np.maximum(no3 + f2 - kept, c.none)
    no3[:] = kept / b
    up = kept - no3
    # the same factors drive growth as drive the flux
    c.left[0], c.left[1] = x, z
    caps *= nitrifier.grown(c.grow * f * c.left / (c.half + c.left), caps * c.per_cap, c.decay)
    bacterial = st.ALK["ammonification"] * (out + fresh) + st.ALK["nitritation"] * f1
    alk += bacterial + st.ALK["plant_nh4"] * nh4 + st.ALK["plant_no3"] * up + st.ALK["denitrification"] * lost
    # CO2 relaxes exactly towards what air, breath and the bacteria's acid make of it
    co2[:] = gas.relaxed_co2(co2, c.co2_in + respired / (st.O2_C * MOL_C), c.co2_out, bacterial)
    for name, amount in zip(FLOWS, (out, fresh, f1, f2, lost, nh4, up, respired), strict=True):
        day.book(name, amount)
    return protons(y, day, h_last), O2_1 * f1 + O2_2 * f2
