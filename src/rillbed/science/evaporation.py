"""Water lost to the air: reference evapotranspiration, crops and open water."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science import light, oxygen
from rillbed.science.arrays import Array, array, plain

MM_PER_MJ = 0.408  # 1 / 2.45 MJ/kg, as FAO-56 rounds it
STEFAN_BOLTZMANN_MJ = 4.903e-9
FAO_KELVIN = 273.16  # FAO-56 uses the triple point here
GRASS_ALBEDO, WATER_ALBEDO = 0.23, 0.08


def vapour_pressure_kpa(temp_c: ArrayLike) -> Array:
    """Return saturation vapour pressure, kPa, at -20 to 60 degC (FAO-56 equation 11).

    Examples
    --------
    >>> round(float(vapour_pressure_kpa(24.5)), 3)
    3.075
    """
    t = array(temp_c)
    return plain(0.6108 * np.exp(17.27 * t / (t + 237.3)))


def mean_vapour_pressure_kpa(tmax_c: ArrayLike, tmin_c: ArrayLike) -> Array:
    """Return a day's mean saturation vapour pressure es, kPa (FAO-56 equation 12)."""
    return plain(0.5 * (vapour_pressure_kpa(tmax_c) + vapour_pressure_kpa(tmin_c)))


def actual_vapour_pressure_kpa(tmax_c: ArrayLike, tmin_c: ArrayLike, rh_max: ArrayLike, rh_min: ArrayLike) -> Array:
    """Return a day's actual vapour pressure ea, kPa, from relative humidity in percent (FAO-56 equation 17)."""
    moist_night = vapour_pressure_kpa(tmin_c) * array(rh_max)
    return plain((moist_night + vapour_pressure_kpa(tmax_c) * array(rh_min)) / 200.0)


def slope_kpa_c(temp_c: ArrayLike) -> Array:
    """Return the slope of the vapour pressure curve, kPa/degC (FAO-56 equation 13)."""
    return plain(4098.0 * vapour_pressure_kpa(temp_c) / (array(temp_c) + 237.3) ** 2)


def psychrometric_kpa_c(elevation_m: ArrayLike) -> Array:
    """Return the psychrometric constant, kPa/degC, at a height in m (FAO-56 equations 7 and 8)."""
    return plain(0.665e-3 * oxygen.SEA_LEVEL_KPA * oxygen.station_pressure_atm(elevation_m))


def wind_at_2_m(wind_m_s: ArrayLike, height_m: ArrayLike) -> Array:
    """Return wind at 2 m over grass, m/s, from wind at another height over 0.1 m (FAO-56 equation 47)."""
    return plain(array(wind_m_s) * 4.87 / np.log(67.8 * array(height_m) - 5.42))


def net_radiation_mj_m2_day(
    lat_deg: ArrayLike,
    day_of_year: ArrayLike,
    elevation_m: ArrayLike,
    tmax_c: ArrayLike,
    tmin_c: ArrayLike,
    ea_kpa: ArrayLike,
    sunshine_h: ArrayLike,
    albedo: float = GRASS_ALBEDO,
) -> Array:
    """Return net radiation Rn, MJ/m2/day (FAO-56 equations 21 and 34 to 40); arguments as `reference_et_mm_day`."""
    ra = light.extraterrestrial_mj_m2_day(lat_deg, day_of_year)
    rs = light.global_mj_m2_day(ra, sunshine_h, light.day_length_h(lat_deg, day_of_year))
    rso = light.clear_sky_mj_m2_day(ra, elevation_m)
    # With no sun at all there is no ratio to take; 0.7 is a half-clouded sky.
    clearness = np.minimum(np.where(rso > 0.0, rs / np.where(rso > 0.0, rso, 1.0), 0.7), 1.0)
    fourth = 0.5 * ((array(tmax_c) + FAO_KELVIN) ** 4 + (array(tmin_c) + FAO_KELVIN) ** 4)
    moisture = 0.34 - 0.14 * np.sqrt(array(ea_kpa))
    return plain((1.0 - albedo) * rs - STEFAN_BOLTZMANN_MJ * fourth * moisture * (1.35 * clearness - 0.35))


def reference_et_mm_day(
    lat_deg: ArrayLike,
    day_of_year: ArrayLike,
    elevation_m: ArrayLike,
    tmax_c: ArrayLike,
    tmin_c: ArrayLike,
    ea_kpa: ArrayLike,
    u2_m_s: ArrayLike,
    sunshine_h: ArrayLike,
) -> Array:
    """Return reference evapotranspiration of grass, mm/day (the same as L/m2/day), never negative.

    Parameters
    ----------
    lat_deg, day_of_year : array_like
        Latitude, degrees, north positive, -90 to 90; day 1 to 366.
    elevation_m : array_like
        Height above the sea, m.
    tmax_c, tmin_c : array_like
        The day's highest and lowest air temperature, degC.
    ea_kpa, u2_m_s, sunshine_h : array_like
        Actual vapour pressure, kPa; wind at 2 m, m/s; bright sunshine, h.

    Returns
    -------
    array or scalar of the broadcast shape, mm/day.

    Notes
    -----
    Source: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, equation 6, soil heat flux 0.

    Examples
    --------
    >>> round(float(reference_et_mm_day(50.80, 187, 100.0, 21.5, 12.3, 1.409, 2.078, 9.25)), 1)
    3.9
    """
    mean_c, wind = 0.5 * (array(tmax_c) + array(tmin_c)), array(u2_m_s)
    rn = net_radiation_mj_m2_day(lat_deg, day_of_year, elevation_m, tmax_c, tmin_c, ea_kpa, sunshine_h)
    delta, gamma = slope_kpa_c(mean_c), psychrometric_kpa_c(elevation_m)
    deficit = mean_vapour_pressure_kpa(tmax_c, tmin_c) - array(ea_kpa)
    top = MM_PER_MJ * delta * rn + gamma * 900.0 / (mean_c + 273.0) * wind * deficit
    return plain(np.maximum(top / (delta + gamma * (1.0 + 0.34 * wind)), 0.0))


def hargreaves_mm_day(tmax_c: ArrayLike, tmin_c: ArrayLike, ra_mj_m2_day: ArrayLike) -> Array:
    """Return reference evapotranspiration, mm/day, from temperature and Ra alone (FAO-56 equation 52).

    Examples
    --------
    >>> round(float(hargreaves_mm_day(26.6, 14.8, 40.6)), 1)
    5.0
    """
    high, low = array(tmax_c), array(tmin_c)
    spread = np.sqrt(np.maximum(high - low, 0.0))
    return plain(np.maximum(0.0023 * (0.5 * (high + low) + 17.8) * spread * MM_PER_MJ * array(ra_mj_m2_day), 0.0))


def crop_et_mm_day(reference_mm_day: ArrayLike, crop_coefficient: ArrayLike) -> Array:
    """Return water use of a crop, mm/day = L/m2/day: Kc times the reference (FAO-56 equation 58)."""
    return plain(array(reference_mm_day) * array(crop_coefficient))


def warm_water_mm_day(water_c: ArrayLike, ea_kpa: ArrayLike, u2_m_s: ArrayLike) -> Array:
    """Return loss of open water of known temperature, mm/day, never negative.

    Source: Dalton form with Penman's 1956 wind function, as McMahon et al. 2013, HESS 17:1331-1363, equation S4.
    """
    wind = 1.313 + 1.381 * array(u2_m_s)
    return plain(np.maximum(wind * (vapour_pressure_kpa(water_c) - array(ea_kpa)), 0.0))
