"""Carbon dioxide and oxygen between water and air over one step, in closed form."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, ANY, POSITIVE, Range, checked

KLA_THETA = value("oxygen.kla_theta")
CO2_TO_O2_TRANSFER = value("oxygen.kla_co2_ratio")
OXYGEN_HALF_SATURATION_MG_L = value("oxygen.half_saturation")
LEAST_TRANSFER = 1e-12  # share of a step


@checked(kla20_per_day=AMOUNT, temp_c=Range(0.0, 40.0))
def kla_at(kla20_per_day: ArrayLike, temp_c: ArrayLike) -> Array:
    """Return a gas transfer rate at water temperature, 1/d, valid 0 to 40 degC (ASCE/EWRI 2-06).

    Examples
    --------
    >>> round(float(kla_at(1.0, 25.0)), 4)
    1.1259
    """
    return plain(array(kla20_per_day) * KLA_THETA ** (array(temp_c) - 20.0))


@checked(
    co2_mol_m3=AMOUNT,
    equilibrium_mol_m3=AMOUNT,
    transfer_per_day=AMOUNT,
    respired_mol_m3_day=AMOUNT,
    base_made_eq_m3=ANY,
    step_day=POSITIVE,
)
def step_co2(
    co2_mol_m3: ArrayLike,
    equilibrium_mol_m3: ArrayLike,
    transfer_per_day: ArrayLike,
    respired_mol_m3_day: ArrayLike,
    base_made_eq_m3: ArrayLike,
    step_day: float,
) -> Array:
    """Return dissolved CO2 after one step of gas exchange, respiration and acid or base made by bacteria.

    Parameters
    ----------
    co2_mol_m3 : array_like
        CO2 at the start, mol/m3, >= 0.
    equilibrium_mol_m3 : array_like
        CO2 in balance with the air, mol/m3.
    transfer_per_day : array_like
        Gas transfer rate of CO2, 1/d, >= 0.
    respired_mol_m3_day : array_like
        CO2 respired into the water, mol/m3/d, >= 0.
    base_made_eq_m3 : array_like
        Alkalinity made within the step by reactions that leave inorganic carbon unchanged, eq/m3. Base turns CO2
        into bicarbonate; acid (negative) sets CO2 free.
    step_day : float
        Length of the step, d.

    Returns
    -------
    array or scalar, mol/m3, never negative.

    Notes
    -----
    Derived: with alkalinity kept apart, CO2 follows a linear equation, solved exactly over the step; base draws CO2
    at a rate in proportion to the CO2 there is.
    """
    k, respired = step_day * array(transfer_per_day), step_day * array(respired_mol_m3_day)
    supply = k * array(equilibrium_mol_m3) + respired
    return plain(relaxed_co2(array(co2_mol_m3), supply, np.maximum(k, LEAST_TRANSFER), array(base_made_eq_m3)))


def relaxed_co2(co2_mol_m3: Array, supply_mol_m3: Array, transfer: Array, base_eq_m3: Array) -> Array:
    """Do the work of `step_co2` on arrays, everything but the start as the amount or share of one step.

    The transfer must be `LEAST_TRANSFER` at least: what relaxes at no rate at all would be nothing over nothing.
    """
    acid = np.minimum(base_eq_m3, 0.0)
    rate = transfer + (base_eq_m3 - acid) / np.maximum(co2_mol_m3, 1e-12)
    gone = np.expm1(-rate)  # less than nothing
    return np.asarray(co2_mol_m3 * (1.0 + gone) - (supply_mol_m3 - acid) * gone / rate)


@checked(
    oxygen_mg_l=AMOUNT,
    saturation_mg_l=AMOUNT,
    transfer_per_day=AMOUNT,
    demand_mg_l_day=AMOUNT,
    step_day=POSITIVE,
    half_saturation_mg_l=POSITIVE,
)
def step_oxygen(
    oxygen_mg_l: ArrayLike,
    saturation_mg_l: ArrayLike,
    transfer_per_day: ArrayLike,
    demand_mg_l_day: ArrayLike,
    step_day: float,
    half_saturation_mg_l: ArrayLike = OXYGEN_HALF_SATURATION_MG_L,
) -> Array:
    """Return dissolved oxygen after one implicit step of re-aeration and oxygen-limited use.

    Solves ``x = start + h transfer (saturation - x) - h demand x / (half + x)`` for its positive root.

    Parameters
    ----------
    oxygen_mg_l, saturation_mg_l : array_like
        Oxygen at the start and at saturation, mg/L, >= 0.
    transfer_per_day : array_like
        Gas transfer rate of oxygen, 1/d, >= 0.
    demand_mg_l_day : array_like
        Use when oxygen is plentiful, mg/L/d, >= 0.
    step_day : float
        Length of the step, d.
    half_saturation_mg_l : array_like
        Oxygen at which use is halved, mg/L, > 0.

    Returns
    -------
    array or scalar, mg/L, never negative.

    Notes
    -----
    Derived. An overload shows as little oxygen and slower use, never as less than none.
    """
    k, start = step_day * array(transfer_per_day), array(oxygen_mg_l)
    demand, half = step_day * array(demand_mg_l_day), array(half_saturation_mg_l)
    return plain(oxygen_root(start + k * array(saturation_mg_l), 1.0 + k, demand, half))


def oxygen_root(supply_mg_l: Array, a: Array, demand_mg_l: Array, half_mg_l: Array | float) -> Array:
    """Do the work of `step_oxygen` on arrays: start plus what comes in, one plus transfer, use of one step."""
    b = a * half_mg_l + demand_mg_l - supply_mg_l
    c = half_mg_l * supply_mg_l
    big = np.sqrt(b * b + 4.0 * a * c) + np.abs(b)  # above zero, because half is
    return np.asarray(2.0 * c / big - np.minimum(b, 0.0) / a)
