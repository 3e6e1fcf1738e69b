"""How much oxygen water can hold, and the air pressure that decides it."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import series, value
from rillbed.science.arrays import KELVIN, Array, array, plain
from rillbed.science.checks import ELEVATION_M, Range, checked

OXYGEN_C = Range(0.0, 40.0)
SEA_LEVEL_KPA = value("oxygen.sea_level_pressure")

# Rising powers, of 1/T in kelvin or of degC, as their facts say.
_FRESH, _SALT = series("oxygen.saturation"), series("oxygen.salinity")
_VAPOUR, _PRESSURE = series("oxygen.vapour"), series("oxygen.pressure")
_AIR_KPA, _AIR_K = value("oxygen.altitude_pressure"), value("oxygen.altitude_temp")
_LAPSE_K_M, _AIR_POWER = value("oxygen.altitude_lapse"), value("oxygen.altitude_power")


@checked(temp_c=OXYGEN_C, pressure_atm=Range(0.5, 1.1), salinity_g_kg=Range(0.0, 40.0))
def saturation_mg_l(temp_c: ArrayLike, pressure_atm: ArrayLike = 1.0, salinity_g_kg: ArrayLike = 0.0) -> Array:
    """Return the oxygen content of water in balance with moist air, mg/L.

    Parameters
    ----------
    temp_c : array_like
        Water temperature, degC, valid 0 to 40.
    pressure_atm : array_like
        Air pressure where the water stands (not reduced to sea level), atm, valid 0.5 to 1.1.
    salinity_g_kg : array_like
        Salinity, g/kg, valid 0 to 40.

    Returns
    -------
    array or scalar, mg/L.

    Notes
    -----
    Source: Benson & Krause 1984, Limnol. Oceanogr. 29:620-632, as in USGS Office of Water Quality memo 2011.03.

    Examples
    --------
    >>> round(float(saturation_mg_l(20.0)), 3)
    9.092
    """
    t = array(temp_c)
    k = t + KELVIN
    fresh = np.exp(sum(c / k**i for i, c in enumerate(_FRESH)))
    salt = np.exp(-array(salinity_g_kg) * sum(c / k**i for i, c in enumerate(_SALT)))
    return plain(fresh * salt * array(_pressure_factor(t, array(pressure_atm))))


@checked(temp_c=OXYGEN_C)
def vapour_pressure_atm(temp_c: ArrayLike) -> Array:
    """Return the pressure of water vapour above the water, atm, valid 0 to 40 degC (Benson & Krause 1984)."""
    k = array(temp_c) + KELVIN
    return plain(np.exp(sum(c / k**i for i, c in enumerate(_VAPOUR))))


@checked(elevation_m=ELEVATION_M)
def station_pressure_atm(elevation_m: ArrayLike) -> Array:
    """Return the usual air pressure at a height above the sea, atm.

    Parameters
    ----------
    elevation_m : array_like
        Height above the sea, m, valid -400 to 5000.

    Notes
    -----
    Source: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equation 7.

    Examples
    --------
    >>> round(float(station_pressure_atm(1800.0)), 3)
    0.807
    """
    return plain(_AIR_KPA * ((_AIR_K - _LAPSE_K_M * array(elevation_m)) / _AIR_K) ** _AIR_POWER / SEA_LEVEL_KPA)


def _pressure_factor(t: Array, p: Array) -> Array:
    u = array(vapour_pressure_atm.inner(t))
    a, b, c = _PRESSURE
    theta = a + b * t + c * t**2
    return array((p - u) * (1.0 - theta * p) / ((1.0 - u) * (1.0 - theta)))
