"""Un-ionised ammonia, and the outer bounds regulators set on total ammonia."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science.arrays import KELVIN, Array, array, plain

# Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32:2379-2383 (zero salinity, 0-50 degC).
# 2729.92 with 273.15 reproduces a printed fraction table; the also printed 2727.92 misses nearly every cell.
PKA_OFFSET = 0.09018
PKA_SLOPE_K = 2729.92

# US EPA 2013, Aquatic life ambient water quality criteria for ammonia - freshwater, EPA-822-R-13-001.
CRITERIA_PH = (6.5, 9.0)  # the span of the printed criteria tables


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
    return plain(1.0 / (1.0 + 10.0 ** (array(pka(temp_c)) - array(ph)) / array(gamma1)))


def epa2013_acute_mg_l(ph: ArrayLike, temp_c: ArrayLike, salmonids: bool = True) -> Array:
    """Return the one-hour criterion of total ammonia nitrogen, mg N/L.

    Parameters
    ----------
    ph : array_like
        pH, held within 6.5 to 9.0, the span of the printed tables.
    temp_c : array_like
        Water temperature, degC, valid 0 to 30.
    salmonids : bool
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
    warm = 23.12 * 10.0 ** (0.036 * (20.0 - array(temp_c)))
    shape = 0.7249 * _two_sided(p, 7.204, 0.0114, 1.6181)
    if salmonids:
        return plain(np.minimum(_two_sided(p, 7.204, 0.275, 39.0), shape * warm))
    return plain(shape * np.minimum(51.93, warm))


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
    cold = 2.126 * 10.0 ** (0.028 * (20.0 - np.maximum(array(temp_c), 7.0)))
    return plain(0.8876 * _two_sided(p, 7.688, 0.0278, 1.1994) * cold)


def _two_sided(ph: Array, middle: float, ammonia: float, ammonium: float) -> Array:
    """Weigh the toxicity of the two forms of ammonia around a middle pH."""
    return array(ammonia / (1.0 + 10.0 ** (middle - ph)) + ammonium / (1.0 + 10.0 ** (ph - middle)))
