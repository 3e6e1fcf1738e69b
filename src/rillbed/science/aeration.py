"""Oxygen put into water by stones, falls and still surfaces, and how long it lasts when they stop."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import series, value
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, Range, checked
from rillbed.science.gas import KLA_THETA
from rillbed.science.oxygen import OXYGEN_C

_AIR_G_H = value("aeration.air_oxygen")
_CLEAN_MG_L = value("aeration.clean_saturation")
_WEIR, _DROP, _WARM = series("aeration.weir")


@checked(air_l_min=AMOUNT, transfer_share=Range(0.0, 1.0))
def stone_g_h(air_l_min: ArrayLike, transfer_share: ArrayLike) -> Array:
    """Return the oxygen an air stone passes on to clean, empty water at 20 degC, g/h.

    Parameters
    ----------
    air_l_min : array_like
        Air, L/min.
    transfer_share : array_like
        Share of its oxygen that dissolves.

    Notes
    -----
    Derived: oxygen in the air that goes through, times the share that dissolves.

    Examples
    --------
    >>> round(float(stone_g_h(10.0, 0.02)), 2)
    3.34
    """
    return plain(_AIR_G_H * array(air_l_min) * array(transfer_share))


@checked(standard_g_h=AMOUNT, temp_c=OXYGEN_C, saturation_mg_l=AMOUNT, o2_mg_l=AMOUNT, water=AMOUNT, beta=AMOUNT,
         fouling=AMOUNT)  # fmt: skip
def field_g_h(
    standard_g_h: ArrayLike,
    temp_c: ArrayLike,
    saturation_mg_l: ArrayLike,
    o2_mg_l: ArrayLike,
    water: ArrayLike = 1.0,
    beta: ArrayLike = 1.0,
    fouling: ArrayLike = 1.0,
) -> Array:
    """Return the oxygen an aerator passes on where it stands, g/h; below zero it strips oxygen out.

    Parameters
    ----------
    standard_g_h : array_like
        Rate in clean, empty water at 20 degC.
    temp_c, saturation_mg_l, o2_mg_l : array_like
        Temperature, oxygen at saturation there, and oxygen in the water.
    water, beta, fouling : array_like
        Alpha, beta and F of the standard.

    Notes
    -----
    Source: ASCE/EWRI 2-06.

    Examples
    --------
    >>> round(float(field_g_h(5.0, 26.0, 8.114, 6.0, 0.9, 0.98)), 3)
    1.114
    """
    warm = KLA_THETA ** (array(temp_c) - 20.0)
    drive = (array(beta) * array(saturation_mg_l) - array(o2_mg_l)) / _CLEAN_MG_L
    return plain(array(standard_g_h) * array(water) * array(fouling) * warm * drive)


@checked(o2_mg_l=AMOUNT, saturation_mg_l=AMOUNT, drop_m=Range(0.0, 3.0), temp_c=OXYGEN_C, water=AMOUNT, weir=AMOUNT)
def fallen_mg_l(
    o2_mg_l: ArrayLike,
    saturation_mg_l: ArrayLike,
    drop_m: ArrayLike,
    temp_c: ArrayLike,
    water: ArrayLike = 1.0,
    weir: ArrayLike = 1.0,
) -> Array:
    """Return the oxygen of water after a free fall, mg/L.

    Parameters
    ----------
    o2_mg_l, saturation_mg_l : array_like
        Oxygen above the fall, and at saturation.
    drop_m, temp_c : array_like
        Height, m, and temperature, degC.
    water, weir : array_like
        1.8 for clean to 0.65 for dirty water; 0.6 to 1.3 by the shape of the edge.

    Notes
    -----
    Source: UK Water Research Laboratory 1973, recalled.

    Examples
    --------
    >>> round(float(fallen_mg_l(5.0, 8.263, 0.3, 25.0)), 2)
    5.63
    """
    h = array(drop_m)
    ratio = 1.0 + _WEIR * array(water) * array(weir) * h * (1.0 - _DROP * h) * (1.0 + _WARM * array(temp_c))
    return plain(array(saturation_mg_l) - (array(saturation_mg_l) - array(o2_mg_l)) / ratio)


@checked(o2_mg_l=AMOUNT, until_mg_l=AMOUNT, saturation_mg_l=AMOUNT, transfer_per_h=AMOUNT, use_mg_l_h=AMOUNT)
def hours_until(
    o2_mg_l: ArrayLike,
    until_mg_l: ArrayLike,
    saturation_mg_l: ArrayLike,
    transfer_per_h: ArrayLike,
    use_mg_l_h: ArrayLike,
) -> Array:
    """Return the hours until oxygen has fallen to a level while its surface still takes some up.

    Parameters
    ----------
    o2_mg_l, until_mg_l : array_like
        Oxygen now, and the level.
    saturation_mg_l : array_like
        Oxygen at saturation.
    transfer_per_h : array_like
        Gas transfer rate, 1/h; 0 for a closed tank.
    use_mg_l_h : array_like
        Use of all that breathes in it.

    Returns
    -------
    array or scalar, h; 0 where it is there already, infinite where it never gets there.

    Notes
    -----
    Derived: ``dO/dt = k (saturation - O) - use``, use held constant, which is on the safe side at low oxygen. The
    logarithm is taken of one plus a small number, so a vanishing ``k`` gives the closed tank.

    Examples
    --------
    >>> [round(float(hours_until(7.5, 2.0, 8.0, k, 2.0)), 2) for k in (0.0, 0.1, 1.0)]
    [2.75, 3.31, inf]
    """
    start, end, full, k, use = (array(v) for v in (o2_mg_l, until_mg_l, saturation_mg_l, transfer_per_h, use_mg_l_h))
    fall, slope_there = start - end, use - k * (full - end)
    # oxygen falls for as long as use outweighs what comes in at the level itself
    ends = slope_there > 0.0
    plain_hours = np.where(ends & (fall > 0.0), fall / np.where(ends, slope_there, 1.0), 0.0)
    hours = np.where(k > 1e-12, np.log1p(k * plain_hours) / np.maximum(k, 1e-12), plain_hours)
    return plain(np.where(fall <= 0.0, 0.0, np.where(ends, hours, np.inf)))
