"""What slows or speeds the two steps of nitrification, each as a factor on the capacity at 20 degC.

The pH and oxygen factors are relative to pH 7.5 and 7.5 mg/L of oxygen, where the capacity is defined.
"""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, ANY, PH, POSITIVE, SHARE, WATER_C, checked

REFERENCE_PH = value("nitrifier.reference_ph")
REFERENCE_OXYGEN_MG_L = value("nitrifier.reference_oxygen")
OXYGEN_HALF_AMMONIA_STEP_MG_L = value("nitrifier.oxygen_half_ammonia_step")
OXYGEN_HALF_NITRITE_STEP_MG_L = value("nitrifier.oxygen_half_nitrite_step")

_KNEE_PH, _MOST_PH, _KI, _KII = (value(f"nitrifier.ph_{name}") for name in ("knee", "max", "ki", "kii"))
LN_ACID = float(np.log(value("nitrifier.ph_base")))


@checked(ph=PH)
def ph_response(ph: ArrayLike) -> Array:
    """Return the pH response of nitrifiers, 1 at pH 7.2, 0 from pH 9.5 up.

    Notes
    -----
    Source: Henze, van Loosdrecht, Ekama & Brdjanovic 2008, Biological wastewater treatment.

    Examples
    --------
    >>> [round(float(ph_response(p)), 3) for p in (6.0, 7.0, 8.0)]
    [0.359, 0.843, 0.942]
    """
    return plain(_response(array(ph)))


def _response(ph: Array) -> Array:
    """Do the work of `ph_response` on arrays."""
    below = np.exp(LN_ACID * (np.minimum(ph, _KNEE_PH) - _KNEE_PH))
    left = _MOST_PH - np.minimum(np.maximum(ph, _KNEE_PH), _MOST_PH)
    return np.where(ph <= _KNEE_PH, below, _KI * left / (left + _KII))


RESPONSE_AT_REFERENCE = float(ph_response.inner(REFERENCE_PH))


@checked(ph=PH, maturity=SHARE)
def ph_factor(ph: ArrayLike, maturity: ArrayLike = 0.0) -> Array:
    """Return the pH factor relative to pH 7.5.

    Parameters
    ----------
    ph : array_like
        pH.
    maturity : array_like
        0 in a start-up (full response) to 1 in a ripe filter (its square root, a model choice after the adapted
        filters of Zou et al. 2016, Bioresour. Technol.); between them a straight line.

    Notes
    -----
    Derived: the square root for ripe filters is a model choice after Zou et al. 2016.
    """
    return plain(ripened(array(ph), array(maturity)))


def ripened(ph: Array, maturity: Array) -> Array:
    """Do the work of `ph_factor` on arrays."""
    relative = _response(ph) / RESPONSE_AT_REFERENCE
    return np.asarray(relative + maturity * (np.sqrt(relative) - relative))


@checked(oxygen_mg_l=AMOUNT, half_saturation_mg_l=POSITIVE)
def oxygen_factor(oxygen_mg_l: ArrayLike, half_saturation_mg_l: ArrayLike) -> Array:
    """Return the oxygen factor relative to 7.5 mg/L; inputs in mg/L, oxygen >= 0, half-saturation > 0."""
    o, half = array(oxygen_mg_l), array(half_saturation_mg_l)
    return plain(o / (half + o) * ((half + REFERENCE_OXYGEN_MG_L) / REFERENCE_OXYGEN_MG_L))


@checked(alkalinity_eq_m3=ANY, half_saturation_eq_m3=POSITIVE)
def alkalinity_factor(alkalinity_eq_m3: ArrayLike, half_saturation_eq_m3: ArrayLike) -> Array:
    """Return the factor of too little alkalinity; eq/m3, any sign (nothing runs below zero).

    Notes
    -----
    A smooth form of the published floor of 45 mg/L as CaCO3 (Biesterfeld et al. 2003, Water Environ. Res. 75).
    """
    a = np.maximum(array(alkalinity_eq_m3), 0.0)
    return plain(a / (array(half_saturation_eq_m3) + a))


@checked(temp_c=WATER_C, theta=POSITIVE)
def temperature_factor(temp_c: ArrayLike, theta: ArrayLike) -> Array:
    """Return the temperature factor relative to 20 degC, valid 4 to 35 degC.

    Notes
    -----
    ``theta`` 1.100 for the ammonia step and 1.063 for the nitrite step follow from the activation energies of
    Vannecke & Volcke 2015, Biotechnol. Bioeng.

    Examples
    --------
    >>> round(float(temperature_factor(30.0, 1.1)), 2)
    2.59
    """
    return plain(array(theta) ** (array(temp_c) - 20.0))


@checked(nh3_n_mg_l=AMOUNT, ki_mg_l=POSITIVE)
def ammonia_inhibition(nh3_n_mg_l: ArrayLike, ki_mg_l: ArrayLike) -> Array:
    """Return the factor un-ionised ammonia (mg N/L) leaves of the nitrite step; ``ki_mg_l`` halves it."""
    ki = array(ki_mg_l)
    return plain(ki / (ki + np.maximum(array(nh3_n_mg_l), 0.0)))


@checked(
    capacity_g_m3_day=POSITIVE,
    growth_per_day=AMOUNT,
    fullness=SHARE,
    decay_per_day=AMOUNT,
    ceiling_g_m3_day=POSITIVE,
    step_day=POSITIVE,
)
def grow(
    capacity_g_m3_day: ArrayLike,
    growth_per_day: ArrayLike,
    fullness: ArrayLike,
    decay_per_day: ArrayLike,
    ceiling_g_m3_day: ArrayLike,
    step_day: float,
) -> Array:
    """Return a nitrifying capacity after one step of growth towards its ceiling and decay.

    Parameters
    ----------
    capacity_g_m3_day : array_like
        Nitrogen the bacteria could turn over at 20 degC, g N/m3/d, > 0.
    growth_per_day : array_like
        Growth rate with every factor but the substrate's, 1/d.
    fullness : array_like
        Share of the rate the substrate allows, ``x / (k + x)``, 0 to 1.
    decay_per_day : array_like
        Decay at the water's temperature, 1/d.
    ceiling_g_m3_day : array_like
        Most the surfaces can carry, g N/m3/d.
    step_day : float
        Length of the step, d.

    Notes
    -----
    Derived: exponential growth that a fuller surface slows, less decay, factors held over the step.
    """
    c = array(capacity_g_m3_day)
    growth = step_day * array(growth_per_day) * array(fullness)
    return plain(c * grown(growth, c / array(ceiling_g_m3_day), step_day * array(decay_per_day)))


def grown(growth: Array, filled: Array, decay: Array) -> Array:
    """Return the factor on a capacity over a step: growth and decay of that step, share of its ceiling filled."""
    return np.asarray(np.exp(growth * (1.0 - filled) - decay))
