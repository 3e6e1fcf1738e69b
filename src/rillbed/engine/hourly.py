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
from rillbed.science.cascade import implicit_monod
from rillbed.science.polish import polished_ph

MOL_C = st.MOLAR_G["c"]
MOL_N = st.MOLAR_G["n"]
MOL_P = st.MOLAR_G["p"]
O2_1, O2_2 = st.O2_USE["nitritation"], st.O2_USE["nitratation"]
K_UPTAKE = facts.choice("plant.half_n_mg_l")  # g/m3, half-saturation of plant nitrogen uptake
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
    crowd: float = 1.0  # how much smaller the water is that the fish breathe in
    flows: dict[str, Array] = field(default_factory=dict)

    def book(self, name: str, amount: Array) -> None:
        """Add g/m3 of one flow to the day's books."""
        self.flows[name] = self.flows[name] + amount if name in self.flows else amount


def protons(y: Array, day: Day, h_last: Array) -> Array:
    """H+ activity (mol/m3) from CO2 and alkalinity; ammonia and phosphate taken at the last pH. No iteration."""
    a = y[S.ALK] - y[S.TAN] / MOL_N * day.ka_nh3 / (day.ka_nh3 + h_last)
    a = a - y[S.P] / MOL_P * day.ka_po4 / (day.ka_po4 + h_last)
    h = carbonate.step_hydrogen(y[S.CO2], a, day.k1, day.rho, day.gamma1, day.kw)
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


def modifiers(y: Array, day: Day, h: Array) -> tuple[Array, Array]:
    """Factors on the two nitrifying steps: pH, oxygen, alkalinity, ammonia; 1 at the reference conditions."""
    f = day.reach * nitrifier.ph_factor(ph_of(h), day.mature) * nitrifier.alkalinity_factor(y[S.ALK], day.alk_half)
    nh3 = y[S.TAN] * day.ka_nh3 / (day.ka_nh3 + h)
    fa = f * nitrifier.oxygen_factor(y[S.O2], nitrifier.OXYGEN_HALF_AMMONIA_STEP_MG_L)
    fn = f * nitrifier.oxygen_factor(y[S.O2], nitrifier.OXYGEN_HALF_NITRITE_STEP_MG_L)
    fn = fn * nitrifier.ammonia_inhibition(nh3, day.ki_nh3)
    return fa, fn


def hour(y: Array, day: Day, h_last: Array, used: Array, step: float) -> tuple[Array, Array]:
    """Advance `y` in place by `step` days; gives H+ (mol/m3) and the oxygen nitrifiers used (g/m3/day)."""
    # oxygen first: rates below see the new value
    o_old = y[S.O2]
    fade = np.exp(-step * day.gut)
    gut2 = (y[S.GUT2] + step * day.gut * y[S.GUT1]) * fade  # two equal stages, solved exactly
    gut1 = y[S.GUT1] * fade
    out = np.maximum(y[S.GUT1] + y[S.GUT2] - gut1 - gut2, 0.0)
    breath = day.breath + day.breath_n * out / step
    want = day.crowd * breath + used * (K_BREATH + o_old) / np.maximum(o_old, 1e-9)
    y[S.O2] = o2 = gas.step_oxygen(o_old, day.o2_sat, day.kla, want, step)
    respired = step * breath * o2 / (K_BREATH + o2)
    fa, fn = modifiers(y, day, h_last)
    # eaten nitrogen has passed two stages; solids and organic sources mineralise
    y[S.GUT2] = y[S.GUT1] + y[S.GUT2] - gut1 - out
    y[S.GUT1] = gut1
    rot = y[S.SOLIDS] * -np.expm1(-step * day.solids_k)
    late = y[S.ORGANIC] * -np.expm1(-step * day.organic_k)
    y[S.SOLIDS] -= rot
    y[S.ORGANIC] -= late
    fresh = rot + late
    # first step with plants competing for ammonium
    beta = step * day.demand / (K_UPTAKE + y[S.TAN] + y[S.NO3])
    s = y[S.TAN] + out + fresh
    b = 1.0 + beta
    x = implicit_monod(s, day.k_tan, y[S.CAP_A] * day.theta_a * fa * step, b)
    f1 = np.maximum(s - b * x, 0.0)
    y[S.TAN] = x
    # second step, then nitrate: coupled loss, denitrification, plants
    s2 = y[S.NO2] + f1
    z = implicit_monod(s2, day.k_no2, y[S.CAP_N] * day.theta_n * fn * step)
    f2 = np.maximum(s2 - z, 0.0)
    y[S.NO2] = s2 - f2
    kept = (y[S.NO3] + f2 * (1.0 - day.coupled)) * np.exp(-step * day.denit)
    lost = y[S.NO3] + f2 - kept
    y[S.NO3] = kept / b
    nh4, no3 = s - f1 - x, kept - y[S.NO3]
    # the same factors drive growth as drive the flux
    for row, mu, fill in (
        (S.CAP_A, day.mu_a * day.theta_a * fa, x / (day.k_tan + x)),
        (S.CAP_N, day.mu_n * day.theta_n * fn, z / (day.k_no2 + z)),
    ):
        y[row] = nitrifier.grow(y[row], mu, fill, day.decay, day.cap_max, step)
    bacterial = st.ALK["nitritation"] * f1 + st.ALK["ammonification"] * (out + fresh)
    y[S.ALK] += bacterial + st.ALK["plant_nh4"] * nh4 + st.ALK["plant_no3"] * no3 + st.ALK["denitrification"] * lost
    # CO2 relaxes exactly towards what air, breath and the bacteria's acid make of it
    carbon = respired / (step * st.O2_C * MOL_C)
    y[S.CO2] = gas.step_co2(y[S.CO2], day.co2_eq, gas.CO2_TO_O2_TRANSFER * day.kla, carbon, bacterial, step)
    for name, amount in zip(FLOWS, (out, fresh, f1, f2, lost, nh4, no3, respired), strict=True):
        day.book(name, amount)
    return protons(y, day, h_last), (O2_1 * f1 + O2_2 * f2) / step
