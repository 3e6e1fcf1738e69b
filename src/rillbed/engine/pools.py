"""What one step of the hours takes and gives: every field an array over the members, or the number of one."""

from typing import NamedTuple

from rillbed.engine.result import Array


class Pools(NamedTuple):
    """What the steps move: the rows of the state up to the capacities, and what one step hands to the next."""

    tan: Array
    no2: Array
    no3: Array
    solids: Array
    organic: Array
    gut1: Array
    gut2: Array
    co2: Array
    o2: Array
    alk: Array
    cap_a: Array
    cap_n: Array
    p: Array  # phosphate, which the hours leave alone
    h: Array  # H+ activity, mol/m3
    used: Array  # oxygen the nitrifiers took in the last step, g/m3


class Flows(NamedTuple):
    """What flowed, g/m3."""

    excreted: Array
    mineralised: Array
    nitritation: Array
    nitratation: Array
    gas: Array
    plant_nh4: Array
    plant_no3: Array
    respired: Array


class Step(NamedTuple):
    """What is constant over some steps: rates as amounts or shares of one step."""

    gut: Array
    gut_stays: Array
    breath: Array
    breath_n: Array
    crowd: Array
    o2_in: Array
    o2_gain: Array
    solids_rot: Array
    organic_rot: Array
    demand: Array
    half_o2_a: Array
    half_o2_n: Array
    rate_a: Array
    rate_n: Array
    mature: Array
    alk_half: Array
    ki_nh3: Array
    grow_a: Array
    grow_n: Array
    decay: Array
    k_tan: Array
    k_no2: Array
    per_cap: Array
    uncoupled: Array
    denit_stays: Array
    co2_out: Array
    co2_in: Array
    k_breath: Array
    k_uptake: Array
    none: Array
    one: Array
    k1: Array
    rho: Array
    gamma1: Array
    kw: Array
    ka_nh3: Array
    ka_po4: Array
    nh3_eq: Array
    po4_eq: Array
