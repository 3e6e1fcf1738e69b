"""How warm the water is: relaxation to the air through walls and surface, and what a heater does about it."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed import facts
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AIR_C, AMOUNT, POSITIVE, checked

WATER_MJ_M3_K = facts.choice("water.heat_mj_m3_k")
KWH_PER_MJ = 1.0 / 3.6
_J_PER_MJ, _S_PER_H = 1e6, 3600.0


@checked(volume_m3=POSITIVE, wall_m2=AMOUNT, wall_w_m2_k=AMOUNT, surface_m2=AMOUNT, surface_w_m2_k=AMOUNT)
def time_constant_h(
    volume_m3: ArrayLike,
    wall_m2: ArrayLike,
    wall_w_m2_k: ArrayLike,
    surface_m2: ArrayLike,
    surface_w_m2_k: ArrayLike,
) -> Array:
    """Return the time in which a tank loses 63 % of its difference to the air, h.

    Parameters
    ----------
    volume_m3 : array_like
        Water, m3, > 0.
    wall_m2, wall_w_m2_k : array_like
        Wetted wall, m2, and its heat transfer coefficient, W/m2/K (bare thin plastic about 7).
    surface_m2, surface_w_m2_k : array_like
        Open water, m2, and its linearised coefficient, W/m2/K: radiation, convection and evaporation; 0 if covered.

    Notes
    -----
    Derived: heat balance of a well-mixed tank with losses in proportion to the difference.

    Examples
    --------
    >>> round(float(time_constant_h(1.0, 3.0, 6.6, 1.3, 20.0)), 1)
    25.3
    """
    loss = array(wall_m2) * array(wall_w_m2_k) + array(surface_m2) * array(surface_w_m2_k)
    return plain(WATER_MJ_M3_K * _J_PER_MJ * array(volume_m3) / loss / _S_PER_H)


@checked(water_c=AIR_C, air_c=AIR_C, hours=AMOUNT, time_constant_hours=POSITIVE)
def relaxed_c(water_c: ArrayLike, air_c: ArrayLike, hours: ArrayLike, time_constant_hours: ArrayLike) -> Array:
    """Return water temperature after some hours in air of constant temperature, degC; exact for the balance above.

    Examples
    --------
    >>> round(float(relaxed_c(24.0, 10.0, 12.0, 25.3)), 2)
    18.71
    """
    left = np.exp(-array(hours) / array(time_constant_hours))
    return plain(array(air_c) + (array(water_c) - array(air_c)) * left)


@checked(period_h=POSITIVE, time_constant_hours=POSITIVE)
def swing_share(period_h: ArrayLike, time_constant_hours: ArrayLike) -> Array:
    """Return the share of a regular swing of the air that the water follows, 0 to 1.

    Derived: amplitude of a first-order relaxation driven by a sine of this period.
    """
    turn = 2.0 * np.pi * array(time_constant_hours) / array(period_h)
    return plain(1.0 / np.hypot(1.0, turn))


@checked(period_h=POSITIVE, time_constant_hours=POSITIVE)
def swing_lag_h(period_h: ArrayLike, time_constant_hours: ArrayLike) -> Array:
    """Return by how many hours the water comes after the air in a regular swing, h."""
    turn = 2.0 * np.pi * array(time_constant_hours) / array(period_h)
    return plain(np.arctan(turn) * array(period_h) / (2.0 * np.pi))


def heated_c(water_c: ArrayLike, set_c: ArrayLike) -> Array:
    """Return the temperature a large enough heater holds, degC: never under its set-point."""
    return plain(np.maximum(array(water_c), array(set_c)))


@checked(set_c=AIR_C, air_c=AIR_C, volume_m3=POSITIVE, time_constant_hours=POSITIVE)
def heater_kwh_day(set_c: ArrayLike, air_c: ArrayLike, volume_m3: ArrayLike, time_constant_hours: ArrayLike) -> Array:
    """Return the energy that holds water at a set-point for a day, kWh; zero when the air is as warm.

    Parameters
    ----------
    set_c, air_c : array_like
        Set-point and daily mean air temperature, degC.
    volume_m3, time_constant_hours : array_like
        Water, m3, and `time_constant_h` of the tank.

    Notes
    -----
    Derived: heat lost by first-order cooling at the set-point, with the heat capacity of water.

    Examples
    --------
    >>> round(float(heater_kwh_day(24.0, 10.0, 1.0, 25.3)), 1)
    15.4
    """
    gap = np.maximum(array(set_c) - array(air_c), 0.0)
    per_day = WATER_MJ_M3_K * array(volume_m3) * gap * 24.0 / array(time_constant_hours)
    return plain(per_day * KWH_PER_MJ)


def wall_w_m2_k(layers: tuple[tuple[float, float], ...], inside_w_m2_k: float, outside_w_m2_k: float) -> float:
    """Return the heat transfer coefficient of a wall, W/m2/K, from layers of (thickness m, conductivity W/m/K).

    Derived: resistances in series. Inside about 500, outside in still air about 8 W/m2/K.

    Examples
    --------
    >>> round(wall_w_m2_k(((0.006, 0.4),), 500.0, 8.0), 2)
    7.04
    """
    resistance = 1.0 / inside_w_m2_k + 1.0 / outside_w_m2_k + sum(thick / k for thick, k in layers)
    return 1.0 / resistance
