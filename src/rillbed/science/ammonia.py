"""Un-ionised ammonia, and the outer bounds regulators set on total ammonia."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import KELVIN, Array, array, plain
from rillbed.science.checks import PH, WATER_C, Range, checked

PKA_OFFSET, PKA_SLOPE_K = value("ammonia.pka_offset"), value("ammonia.pka_slope")
CRITERIA_C = Range(0.0, 30.0)  # as the printed tables
CRITERIA_PH = (value("ammonia.criteria_ph_low"), value("ammonia.criteria_ph_high"))

# Of each criterion: the pH in the middle, then the weights at high and at low pH.
_ACUTE = (value("ammonia.acute_ph_knee"), value("ammonia.acute_high_ph"), value("ammonia.acute_low_ph"))
_SALMONID = (_ACUTE[0], value("ammonia.acute_salmonid_high_ph"), value("ammonia.acute_salmonid_low_ph"))
_CHRONIC = (value("ammonia.chronic_ph_knee"), value("ammonia.chronic_high_ph"), value("ammonia.chronic_low_ph"))
_ACUTE_SCALE, _ACUTE_CEILING = value("ammonia.acute_scale"), value("ammonia.acute_ceiling")
_ACUTE_AT_20C, _ACUTE_SLOPE = value("ammonia.acute_at_20c"), value("ammonia.acute_slope")
_CHRONIC_SCALE, _CHRONIC_LEAST_C = value("ammonia.chronic_scale"), value("ammonia.chronic_least_temp")
_CHRONIC_AT_20C, _CHRONIC_SLOPE = value("ammonia.chronic_at_20c"), value("ammonia.chronic_slope")


@checked(temp_c=WATER_C)
def pka(temp_c: ArrayLike) -> Array:
    """Return the acid constant of ammonium as pKa at zero ionic strength.

    Parameters
    ----------
    temp_c : array_like
        Water temperature, degC, valid 0 to 50.

    Returns
    -------
    array or scalar, as given.

    Notes
    -----
    Source: Emerson et al. 1975.

    Examples
    --------
    >>> round(float(pka(25.0)), 4)
    9.2464
    """
    return plain(PKA_OFFSET + PKA_SLOPE_K / (array(temp_c) + KELVIN))


@checked(ph=PH, temp_c=WATER_C, gamma1=Range(0.0, 1.0, above=True))
def unionized_fraction(ph: ArrayLike, temp_c: ArrayLike, gamma1: ArrayLike = 1.0) -> Array:
    """Return the share of total ammonia nitrogen that is un-ionised NH3.

    Parameters
    ----------
    ph : array_like
        pH on the activity scale (what an electrode reads).
    temp_c : array_like
        Water temperature, degC, valid 0 to 50.
    gamma1 : array_like
        Activity coefficient of a single charge. The default of 1 is the plain equation, which overstates NH3
        by up to an eighth in loop water and so stays on the safe side.

    Returns
    -------
    array or scalar, 0 to 1.

    Notes
    -----
    Source: Emerson et al. 1975.

    Examples
    --------
    >>> round(float(unionized_fraction(8.0, 24.0)), 4)
    0.0502
    """
    return plain(1.0 / (1.0 + 10.0 ** (array(pka.inner(temp_c)) - array(ph)) / array(gamma1)))


@checked(ph=PH, temp_c=CRITERIA_C)
def epa2013_acute_mg_l(ph: ArrayLike, temp_c: ArrayLike, salmonids: ArrayLike = True) -> Array:
    """Return the one-hour criterion of total ammonia nitrogen, mg N/L.

    Parameters
    ----------
    ph : array_like
        pH, held within 6.5 to 9.0, the span of the printed tables.
    temp_c : array_like
        Water temperature, degC, valid 0 to 30.
    salmonids : array_like of bool
        True where trout or salmon (genus *Oncorhynchus*) live in the water.

    Returns
    -------
    array or scalar, mg/L as N.

    Notes
    -----
    Source: US EPA 2013, EPA-822-R-13-001. Mussels drive these figures: for a tank of fish they are an outer bound.

    Examples
    --------
    >>> round(float(epa2013_acute_mg_l(7.0, 20.0, salmonids=True)), 1)
    16.8
    """
    p = np.clip(array(ph), *CRITERIA_PH)
    warm = _ACUTE_AT_20C * 10.0 ** (_ACUTE_SLOPE * (20.0 - array(temp_c)))
    shape = _ACUTE_SCALE * _two_sided(p, *_ACUTE)
    absent = shape * np.minimum(_ACUTE_CEILING, warm)
    present = np.minimum(_two_sided(p, *_SALMONID), shape * warm)
    return plain(np.where(salmonids, present, absent))


@checked(ph=PH, temp_c=CRITERIA_C)
def epa2013_chronic_mg_l(ph: ArrayLike, temp_c: ArrayLike) -> Array:
    """Return the thirty-day criterion of total ammonia nitrogen, mg N/L.

    Parameters
    ----------
    ph : array_like
        pH, held within 6.5 to 9.0, the span of the printed tables.
    temp_c : array_like
        Water temperature, degC, valid 0 to 30; below 7 the criterion no longer changes.

    Returns
    -------
    array or scalar, mg/L as N.

    Notes
    -----
    Source: US EPA 2013, EPA-822-R-13-001.

    Examples
    --------
    >>> round(float(epa2013_chronic_mg_l(7.0, 20.0)), 2)
    1.89
    """
    p = np.clip(array(ph), *CRITERIA_PH)
    cold = _CHRONIC_AT_20C * 10.0 ** (_CHRONIC_SLOPE * (20.0 - np.maximum(array(temp_c), _CHRONIC_LEAST_C)))
    return plain(_CHRONIC_SCALE * _two_sided(p, *_CHRONIC) * cold)


def _two_sided(ph: Array, middle: float, ammonia: float, ammonium: float) -> Array:
    """Weigh the toxicity of the two forms of ammonia around a middle pH."""
    return array(ammonia / (1.0 + 10.0 ** (middle - ph)) + ammonium / (1.0 + 10.0 ** (ph - middle)))
