"""Sun and light: day length, radiation above the air and at the ground, and the light plants can use."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import series, value
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, DAY_OF_YEAR, ELEVATION_M, HOURS, LATITUDE_DEG, SHARE, checked

SOLAR_CONSTANT_MJ_M2_MIN = value("climate.solar_constant")
# Angstrom's share of radiation on a dull day, and what a whole day of sun adds.
DULL_SHARE, SUN_SHARE = value("climate.angstrom_dull"), value("climate.angstrom_sun")
PAR_MOL_PER_MJ = value("plants.light_per_mj")
_TILT_RAD, _YEAR_PHASE_RAD = series("climate.declination")
_DISTANCE_SWING = value("climate.sun_distance")
_CLEAR_SHARE, _CLEAR_PER_M = series("climate.clear_sky")


@checked(day_of_year=DAY_OF_YEAR)
def declination_rad(day_of_year: ArrayLike) -> Array:
    """Return the sun's declination, rad, for a day 1 to 366 (FAO-56 equation 24).

    Examples
    --------
    >>> round(float(declination_rad(246)), 3)
    0.12
    """
    return plain(_TILT_RAD * np.sin(2.0 * np.pi * array(day_of_year) / 365.0 - _YEAR_PHASE_RAD))


@checked(day_of_year=DAY_OF_YEAR)
def sun_distance_factor(day_of_year: ArrayLike) -> Array:
    """Return the inverse relative distance of earth and sun, for a day 1 to 366 (FAO-56 equation 23)."""
    return plain(1.0 + _DISTANCE_SWING * np.cos(2.0 * np.pi * array(day_of_year) / 365.0))


@checked(lat_deg=LATITUDE_DEG, day_of_year=DAY_OF_YEAR)
def sunset_angle_rad(lat_deg: ArrayLike, day_of_year: ArrayLike) -> Array:
    """Return the sunset hour angle, rad: 0 in polar night, pi in polar day (FAO-56 equation 25; north positive)."""
    cosine = -np.tan(np.radians(array(lat_deg))) * np.tan(declination_rad.inner(day_of_year))
    return plain(np.arccos(np.clip(cosine, -1.0, 1.0)))


@checked(lat_deg=LATITUDE_DEG, day_of_year=DAY_OF_YEAR)
def day_length_h(lat_deg: ArrayLike, day_of_year: ArrayLike) -> Array:
    """Return the hours between sunrise and sunset (FAO-56 equation 34).

    Parameters
    ----------
    lat_deg : array_like
        Latitude, degrees, north positive, -90 to 90.
    day_of_year : array_like
        1 to 366.

    Notes
    -----
    Source: FAO-56, equation 34.

    Examples
    --------
    >>> round(float(day_length_h(-20.0, 246)), 1)
    11.7
    """
    return plain(24.0 / np.pi * sunset_angle_rad.inner(lat_deg, day_of_year))


@checked(lat_deg=LATITUDE_DEG, day_of_year=DAY_OF_YEAR)
def extraterrestrial_mj_m2_day(lat_deg: ArrayLike, day_of_year: ArrayLike) -> Array:
    """Return the radiation on the flat above the air, Ra, MJ/m2/day (FAO-56 equation 21).

    Parameters are those of `day_length_h`.

    Notes
    -----
    Source: FAO-56, equation 21.

    Examples
    --------
    >>> round(float(extraterrestrial_mj_m2_day(-20.0, 246)), 1)
    32.2
    """
    lat, decl = np.radians(array(lat_deg)), declination_rad.inner(day_of_year)
    angle = sunset_angle_rad.inner(lat_deg, day_of_year)
    path = angle * np.sin(lat) * np.sin(decl) + np.cos(lat) * np.cos(decl) * np.sin(angle)
    # Rounding leaves a tiny negative path in polar night.
    path = np.maximum(path, 0.0)
    return plain(24.0 * 60.0 / np.pi * SOLAR_CONSTANT_MJ_M2_MIN * sun_distance_factor.inner(day_of_year) * path)


@checked(ra_mj_m2_day=AMOUNT, sunshine_h=HOURS, daylength_h=HOURS)
def global_mj_m2_day(ra_mj_m2_day: ArrayLike, sunshine_h: ArrayLike, daylength_h: ArrayLike) -> Array:
    """Return the radiation at the ground, Rs, MJ/m2/day, from hours of bright sun (FAO-56 equation 35).

    A day without daylight gives the dull share of `ra_mj_m2_day`, which is zero then.
    """
    day = array(daylength_h)
    share = np.clip(array(sunshine_h) / np.where(day > 0.0, day, 1.0), 0.0, 1.0)
    return plain((DULL_SHARE + SUN_SHARE * share) * array(ra_mj_m2_day))


@checked(ra_mj_m2_day=AMOUNT, elevation_m=ELEVATION_M)
def clear_sky_mj_m2_day(ra_mj_m2_day: ArrayLike, elevation_m: ArrayLike) -> Array:
    """Return the radiation at the ground under a clear sky, Rso, MJ/m2/day (FAO-56 equation 37)."""
    return plain((_CLEAR_SHARE + _CLEAR_PER_M * array(elevation_m)) * array(ra_mj_m2_day))


@checked(global_mj_m2=AMOUNT, transmission=SHARE)
def daily_light_mol_m2(global_mj_m2: ArrayLike, transmission: ArrayLike = 1.0) -> Array:
    """Return the daily light integral, mol/m2/day, under a cover that lets `transmission` (0 to 1) through.

    Source: conversion 2.04 mol per MJ, from memory (0.446 of the energy is usable light, 4.57 umol/J).

    Examples
    --------
    >>> round(float(daily_light_mol_m2(20.0, 0.6)), 2)
    24.48
    """
    return plain(PAR_MOL_PER_MJ * array(global_mj_m2) * array(transmission))


@checked(ppfd_umol_m2_s=AMOUNT, hours=HOURS)
def lamp_light_mol_m2(ppfd_umol_m2_s: ArrayLike, hours: ArrayLike) -> Array:
    """Return the daily light integral of a lamp, mol/m2/day; by definition of the units.

    Examples
    --------
    >>> float(lamp_light_mol_m2(250.0, 16.0))
    14.4
    """
    return plain(array(ppfd_umol_m2_s) * array(hours) * 3600.0 / 1e6)
