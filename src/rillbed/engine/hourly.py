"""One implicit step of the nitrogen cascade, oxygen, CO2 and pH for all members at once.

Scheme of the reduced model: every Monod conversion is the positive root of one quadratic, so nothing goes
negative and nitrogen is conserved to rounding at any step length; first order in the step.
"""

from dataclasses import dataclass, field
from functools import cached_property

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
FOODS = slice(S.TAN, S.NO2 + 1)  # what each of `CAPS` lives on
MOL_C = st.MOLAR_G["c"]
MOL_N = st.MOLAR_G["n"]
MOL_P = st.MOLAR_G["p"]
O2_1, O2_2 = st.O2_USE["nitritation"], st.O2_USE["nitratation"]
K_UPTAKE = facts.choice("plant.half_n_mg_l")  # g/m3, half-saturation of plant nitrogen uptake
CO2_PER_O2 = 1.0 / (st.O2_C * MOL_C)  # mol per g respired
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
    flows: dict[str, Array] = field(default_factory=dict)  # g/m3 of each of `FLOWS` since the day began

    @cached_property
    def nh3_eq(self) -> Array:
        """Alkalinity of ammonia, eq per g of N, times H+ and its constant."""
        return np.asarray(self.ka_nh3 / MOL_N)

    @cached_property
    def po4_eq(self) -> Array:
        """Alkalinity of phosphate, eq per g of P, times H+ and its constant."""
        return np.asarray(self.ka_po4 / MOL_P)


class Step:
    """What is constant over the steps of one day: rates as amounts or shares of one step of `h` days."""

    def __init__(self, day: Day, h: float, members: int) -> None:
        def each(value: Array | float) -> Array:
            full = np.empty(members)  # of one shape: numpy is slower on scalars
            full[...] = value
            return full

        def both(a: Array | float, n: Array | float) -> Array:
            full = np.empty((2, members))
            full[0], full[1] = a, n
            return full

        self.day = day
        self.gut = h * each(day.gut)
        self.gut_stays = np.exp(-self.gut)
        self.breath, self.breath_n, self.crowd = h * each(day.breath), each(day.breath_n), each(day.crowd)
        self.o2_in, self.o2_gain = h * each(day.kla * day.o2_sat), 1.0 + h * each(day.kla)
        self.rots = -np.expm1(-h * both(day.solids_k, day.organic_k))
        self.demand = h * each(day.demand)
        self.half_o2 = both(*half_o2())
        per_o2 = [float(nitrifier.oxygen_factor.inner(1.0, half)) * (1.0 + half) for half in half_o2()]
        self.rate = h * day.reach * both(day.theta_a * per_o2[0], day.theta_n * per_o2[1])
        self.mature, self.alk_half, self.ki_nh3 = each(day.mature), each(day.alk_half), each(day.ki_nh3)
        self.grow, self.decay = both(day.mu_a, day.mu_n), h * both(day.decay, day.decay)
        self.half, self.per_cap = both(day.k_tan, day.k_no2), 1.0 / both(day.cap_max, day.cap_max)
        self.uncoupled, self.denit_stays = 1.0 - each(day.coupled), np.exp(-h * each(day.denit))
        self.co2_out = np.maximum(gas.CO2_TO_O2_TRANSFER * h * each(day.kla), gas.LEAST_TRANSFER)
        self.co2_in = self.co2_out * day.co2_eq
        self.none, self.one, self.least = each(0.0), each(1.0), each(LEAST_O2)
        self.k_breath, self.k_uptake = each(K_BREATH), each(K_UPTAKE)
        self.now = np.zeros((len(FLOWS), members))  # what flows in this step, g/m3


def protons(y: Array, day: Day, h_last: Array) -> Array:
    """H+ activity (mol/m3) from CO2 and alkalinity; ammonia and phosphate taken at the last pH. No iteration."""
    a = y[S.ALK] - y[S.TAN] * day.nh3_eq / (day.ka_nh3 + h_last) - y[S.P] * day.po4_eq / (day.ka_po4 + h_last)
    h = carbonate.hydrogen_root(y[S.CO2], a, day.k1, day.rho, day.gamma1, day.kw)
    high = h < BENCH_FROM_H
    return _bench(y, day, h, high) if np.count_nonzero(high) else h


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


def half_o2() -> tuple[float, float]:
    """Oxygen that halves each of the two steps, g/m3."""
    return nitrifier.OXYGEN_HALF_AMMONIA_STEP_MG_L, nitrifier.OXYGEN_HALF_NITRITE_STEP_MG_L


def speeds(y: Array, c: Step, h: Array) -> Array:
    """Give what a unit of capacity could turn over in a step, (2, members): warmth, pH, oxygen, alkalinity, ammonia."""
    alk, o2 = np.maximum(y[S.ALK], c.none), y[S.O2]
    shared = nitrifier.ripened(ph_of(h), c.mature) * alk * o2 / (c.alk_half + alk)
    both = np.asarray(c.rate * shared / (c.half_o2 + o2))
    free = (h + c.day.ka_nh3) * c.ki_nh3
    both[1] *= free / (free + y[S.TAN] * c.day.ka_nh3)
    return both


def hour(y: Array, c: Step, h_last: Array, used: Array) -> tuple[Array, Array]:
    """Advance `y` in place by one step; gives H+ (mol/m3) and the oxygen nitrifiers used in it (g/m3).

    What flowed is left in ``c.now``, a row for each of `FLOWS`.
    """
    tan, no2, no3, _, _, gut1, gut2, co2, o2, alk = y[: S.CAP_A]
    rotting, caps = y[ROTTING], y[CAPS]
    out, fresh, f1, f2, lost, nh4, up, respired = c.now
    # eaten nitrogen passes two equal stages, solved exactly; solids and organic sources mineralise
    inside = gut1 + gut2
    gut1 *= c.gut_stays
    inside -= gut1
    np.maximum(inside - (gut2 * c.gut_stays + c.gut * gut1), c.none, out=out)
    np.subtract(inside, out, out=gut2)
    rotten = rotting * c.rots
    rotting -= rotten
    np.add(rotten[0], rotten[1], out=fresh)
    freed = out + fresh
    # oxygen before the conversions: their rates see the new value
    breath = c.breath + c.breath_n * out
    want = c.crowd * breath + used * (c.k_breath / np.maximum(o2, c.least) + c.one)
    o2[:] = gas.oxygen_root(o2 + c.o2_in, c.o2_gain, want, c.k_breath)
    airless = c.k_breath / (c.k_breath + o2)
    np.subtract(breath, breath * airless, out=respired)
    speed = speeds(y, c, h_last)
    most = caps * speed
    # first step with plants competing for ammonium
    b = c.one + c.demand / (c.k_uptake + tan + no3)
    s = tan + freed
    x = monod_root(s, c.half[0], most[0], b)
    np.maximum(s - b * x, c.none, out=f1)
    np.maximum(s - f1 - x, c.none, out=nh4)  # where no plant asks, rounding is all there is
    tan[:] = x
    # second step, then nitrate: coupled loss, denitrification, plants
    s = no2 + f1
    np.maximum(s - monod_root(s, c.half[1], most[1], c.one), c.none, out=f2)
    np.subtract(s, f2, out=no2)
    made = no3 + f2
    kept = (no3 + f2 * c.uncoupled) * c.denit_stays
    np.maximum(made - kept, c.none, out=lost)
    np.divide(kept, b, out=no3)
    np.subtract(kept, no3, out=up)
    # from the pools, not from what was turned over: of a tiny capacity that is all rounding
    pools = y[FOODS]
    caps *= nitrifier.grown(c.grow * speed * pools / (c.half + pools), caps * c.per_cap, c.decay)
    bacterial = st.ALK["ammonification"] * freed + st.ALK["nitritation"] * f1
    alk += bacterial + st.ALK["plant_nh4"] * nh4 + st.ALK["plant_no3"] * up + st.ALK["denitrification"] * lost
    # CO2 relaxes exactly towards what air, breath, decay without oxygen and the bacteria's acid make of it
    supply = c.co2_in + respired * CO2_PER_O2 + airless * airless * freed * st.FERMENTED_CO2
    co2[:] = gas.relaxed_co2(co2, supply, c.co2_out, bacterial)
    return protons(y, c.day, h_last), O2_1 * f1 + O2_2 * f2
