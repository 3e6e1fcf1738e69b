"""Water lost to the air: reference evapotranspiration, crops and open water."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import series, value
from rillbed.science import light, oxygen
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import (
    AIR_C,
    AMOUNT,
    DAY_OF_YEAR,
    ELEVATION_M,
    HOURS,
    LATITUDE_DEG,
    PERCENT,
    SHARE,
    Range,
    checked,
)

MM_PER_MJ = value("climate.mm_per_mj")
STEFAN_BOLTZMANN_MJ = value("climate.stefan_boltzmann")
FAO_KELVIN = value("climate.kelvin_fao")  # not the zero of the other sciences
GRASS_ALBEDO, WATER_ALBEDO = value("climate.albedo_reference"), value("climate.albedo_water")

_VAPOUR_KPA, _VAPOUR_RISE, _VAPOUR_C = series("climate.vapour")
_SLOPE = value("climate.vapour_slope")
_PSYCHROMETER = value("climate.psychrometer")
_WIND_TOP, _WIND_STEEP, _WIND_GROUND = series("climate.wind_profile")
_MOIST, _MOIST_ROOT, _CLOUD, _CLOUD_LESS = series("climate.longwave")
_UNSEEN_CLEARNESS = value("climate.clearness_unseen")
_AIR_TERM, _WIND_TERM = series("climate.reference")
_REFERENCE_KELVIN = value("climate.reference_kelvin")
_HARGREAVES, _HARGREAVES_C = series("climate.hargreaves")
_STILL, _PER_WIND = series("climate.penman1956")


@checked(temp_c=AIR_C)
def vapour_pressure_kpa(temp_c: ArrayLike) -> Array:
    """Return saturation vapour pressure, kPa, at -20 to 60 degC (FAO-56 equation 11).

    Examples
    --------
    >>> round(float(vapour_pressure_kpa(24.5)), 3)
    3.075
    """
    t = array(temp_c)
    return plain(_VAPOUR_KPA * np.exp(_VAPOUR_RISE * t / (t + _VAPOUR_C)))


@checked(tmax_c=AIR_C, tmin_c=AIR_C)
def mean_vapour_pressure_kpa(tmax_c: ArrayLike, tmin_c: ArrayLike) -> Array:
    """Return a day's mean saturation vapour pressure es, kPa (FAO-56 equation 12)."""
    return plain(0.5 * (vapour_pressure_kpa.inner(tmax_c) + vapour_pressure_kpa.inner(tmin_c)))


@checked(tmax_c=AIR_C, tmin_c=AIR_C, rh_max=PERCENT, rh_min=PERCENT)
def actual_vapour_pressure_kpa(tmax_c: ArrayLike, tmin_c: ArrayLike, rh_max: ArrayLike, rh_min: ArrayLike) -> Array:
    """Return a day's actual vapour pressure ea, kPa, from relative humidity in percent (FAO-56 equation 17)."""
    moist_night = vapour_pressure_kpa.inner(tmin_c) * array(rh_max)
    return plain((moist_night + vapour_pressure_kpa.inner(tmax_c) * array(rh_min)) / 200.0)


@checked(temp_c=AIR_C)
def slope_kpa_c(temp_c: ArrayLike) -> Array:
    """Return the slope of the vapour pressure curve, kPa/degC (FAO-56 equation 13)."""
    return plain(_SLOPE * vapour_pressure_kpa.inner(temp_c) / (array(temp_c) + _VAPOUR_C) ** 2)


@checked(elevation_m=ELEVATION_M)
def psychrometric_kpa_c(elevation_m: ArrayLike) -> Array:
    """Return the psychrometric constant, kPa/degC, at a height in m (FAO-56 equations 7 and 8)."""
    return plain(_PSYCHROMETER * oxygen.SEA_LEVEL_KPA * oxygen.station_pressure_atm.inner(elevation_m))


@checked(wind_m_s=AMOUNT, height_m=Range(0.1, above=True))
def wind_at_2_m(wind_m_s: ArrayLike, height_m: ArrayLike) -> Array:
    """Return wind at 2 m over grass, m/s, from wind at another height over 0.1 m (FAO-56 equation 47)."""
    return plain(array(wind_m_s) * _WIND_TOP / np.log(_WIND_STEEP * array(height_m) - _WIND_GROUND))


@checked(
    lat_deg=LATITUDE_DEG,
    day_of_year=DAY_OF_YEAR,
    elevation_m=ELEVATION_M,
    tmax_c=AIR_C,
    tmin_c=AIR_C,
    ea_kpa=AMOUNT,
    sunshine_h=HOURS,
    albedo=SHARE,
)
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
    ra = light.extraterrestrial_mj_m2_day.inner(lat_deg, day_of_year)
    rs = light.global_mj_m2_day.inner(ra, sunshine_h, light.day_length_h.inner(lat_deg, day_of_year))
    rso = light.clear_sky_mj_m2_day.inner(ra, elevation_m)
    # With no sun at all there is no ratio to take.
    clearness = np.minimum(np.where(rso > 0.0, rs / np.where(rso > 0.0, rso, 1.0), _UNSEEN_CLEARNESS), 1.0)
    fourth = 0.5 * ((array(tmax_c) + FAO_KELVIN) ** 4 + (array(tmin_c) + FAO_KELVIN) ** 4)
    moisture = _MOIST + _MOIST_ROOT * np.sqrt(array(ea_kpa))
    return plain((1.0 - albedo) * rs - STEFAN_BOLTZMANN_MJ * fourth * moisture * (_CLOUD * clearness + _CLOUD_LESS))


@checked(
    lat_deg=LATITUDE_DEG,
    day_of_year=DAY_OF_YEAR,
    elevation_m=ELEVATION_M,
    tmax_c=AIR_C,
    tmin_c=AIR_C,
    ea_kpa=AMOUNT,
    u2_m_s=AMOUNT,
    sunshine_h=HOURS,
)
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
    rn = net_radiation_mj_m2_day.inner(lat_deg, day_of_year, elevation_m, tmax_c, tmin_c, ea_kpa, sunshine_h)
    delta, gamma = slope_kpa_c.inner(mean_c), psychrometric_kpa_c.inner(elevation_m)
    deficit = mean_vapour_pressure_kpa.inner(tmax_c, tmin_c) - array(ea_kpa)
    top = MM_PER_MJ * delta * rn + gamma * _AIR_TERM / (mean_c + _REFERENCE_KELVIN) * wind * deficit
    return plain(np.maximum(top / (delta + gamma * (1.0 + _WIND_TERM * wind)), 0.0))


@checked(tmax_c=AIR_C, tmin_c=AIR_C, ra_mj_m2_day=AMOUNT)
def hargreaves_mm_day(tmax_c: ArrayLike, tmin_c: ArrayLike, ra_mj_m2_day: ArrayLike) -> Array:
    """Return reference evapotranspiration, mm/day, from temperature and Ra alone (FAO-56 equation 52).

    Examples
    --------
    >>> round(float(hargreaves_mm_day(26.6, 14.8, 40.6)), 1)
    5.0
    """
    high, low = array(tmax_c), array(tmin_c)
    spread = np.sqrt(np.maximum(high - low, 0.0))
    warmth = 0.5 * (high + low) + _HARGREAVES_C
    return plain(np.maximum(_HARGREAVES * warmth * spread * MM_PER_MJ * array(ra_mj_m2_day), 0.0))


@checked(reference_mm_day=AMOUNT, crop_coefficient=AMOUNT)
def crop_et_mm_day(reference_mm_day: ArrayLike, crop_coefficient: ArrayLike) -> Array:
    """Return water use of a crop, mm/day = L/m2/day: Kc times the reference (FAO-56 equation 58)."""
    return plain(array(reference_mm_day) * array(crop_coefficient))


@checked(water_c=AIR_C, ea_kpa=AMOUNT, u2_m_s=AMOUNT)
def warm_water_mm_day(water_c: ArrayLike, ea_kpa: ArrayLike, u2_m_s: ArrayLike) -> Array:
    """Return loss of open water of known temperature, mm/day, never negative.

    Source: Dalton form with Penman's 1956 wind function, as McMahon et al. 2013, HESS 17:1331-1363, equation S4.
    """
    wind = _STILL + _PER_WIND * array(u2_m_s)
    return plain(np.maximum(wind * (vapour_pressure_kpa.inner(water_c) - array(ea_kpa)), 0.0))
