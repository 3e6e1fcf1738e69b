"""How plants grow and what they take from the water: dry mass, the nitrogen it needs, and the demand per element.

Masses are dry, per m2 of bed where a canopy is meant and per planting elsewhere; contents are shares of dry mass.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science.arrays import Array, array, clipped, plain
from rillbed.science.checks import AIR_C, AMOUNT, ANY, PH, POSITIVE, checked


@checked(mass_g_m2=AMOUNT, canopy_g_m2_day=AMOUNT, relative_per_day=AMOUNT, days=AMOUNT)
def grown_g_m2(
    mass_g_m2: ArrayLike, canopy_g_m2_day: ArrayLike, relative_per_day: ArrayLike, days: ArrayLike = 1.0
) -> Array:
    """Return dry mass after some days of expolinear growth, g/m2.

    Parameters
    ----------
    mass_g_m2 : array_like
        Dry mass now, g/m2, >= 0.
    canopy_g_m2_day : array_like
        Growth of a closed canopy, g/m2/day, >= 0; zero stops growth.
    relative_per_day : array_like
        Relative growth of small plants, 1/day, >= 0; zero stops growth too.
    days : array_like
        Time at these rates, >= 0.

    Notes
    -----
    Source: Goudriaan & Monteith 1990, Annals of Botany 66:695-701. Derived: the exact solution of
    ``dW/dt = c (1 - exp(-r W / c))``, so the length of a step does not matter.

    Examples
    --------
    >>> round(float(grown_g_m2(1.5, 12.0, 0.20, 35.0)), 1)
    201.5
    """
    mass, canopy, r = array(mass_g_m2), array(canopy_g_m2_day), array(relative_per_day)
    moves = (canopy > 0.0) & (mass > 0.0) & (r > 0.0)
    scale = np.where(moves, canopy, 1.0) / np.where(moves, r, 1.0)
    u = np.where(moves, mass, 1.0) / scale
    # ln(1 + (e^u - 1) e^(r t)), written so that a heavy canopy does not overflow
    later = scale * np.logaddexp(0.0, u + np.log(-np.expm1(-u)) + r * array(days))
    return plain(np.where(moves, later, mass))


@checked(mass_g_m2=POSITIVE, canopy_g_m2_day=POSITIVE, relative_per_day=POSITIVE)
def lost_days(mass_g_m2: ArrayLike, canopy_g_m2_day: ArrayLike, relative_per_day: ArrayLike) -> Array:
    """Return the days a canopy loses to its start: full growth times (t - this) is the mass of late days.

    Source: Goudriaan & Monteith 1990; arguments as `grown_g_m2`, all > 0.

    Examples
    --------
    >>> round(float(lost_days(1.5, 12.0, 0.20)), 2)
    18.38
    """
    u = array(relative_per_day) * array(mass_g_m2) / array(canopy_g_m2_day)
    return plain(-np.log(np.expm1(u)) / array(relative_per_day))


@checked(mass_g_m2=AMOUNT, canopy_g_m2_day=POSITIVE, relative_per_day=AMOUNT)
def cover_share(mass_g_m2: ArrayLike, canopy_g_m2_day: ArrayLike, relative_per_day: ArrayLike) -> Array:
    """Return the share of the light that plants catch, 0 to 1: their growth over that of a closed canopy.

    Source: Goudriaan & Monteith 1990; arguments as `grown_g_m2`, canopy > 0.
    """
    return plain(-np.expm1(-array(relative_per_day) * array(mass_g_m2) / array(canopy_g_m2_day)))


def course(
    total_g_m2: float, days: float, canopy_g_m2_day: float, start_g_m2: float, slowest: float, fastest: float
) -> tuple[float, float]:
    """Return (relative growth 1/day, dry mass at the start g/m2) of the course that ends at a known total.

    Parameters
    ----------
    total_g_m2, days : float
        Dry mass at the end, and days in the bed; the total must be under ``canopy_g_m2_day * days``.
    canopy_g_m2_day : float
        Growth of the closed canopy.
    start_g_m2 : float
        Usual mass at the start; moved only when no rate between `slowest` and `fastest` fits.
    slowest, fastest : float
        Bounds of the relative growth rate, 1/day.

    Raises
    ------
    ValueError
        When the total is out of reach of the canopy.

    Notes
    -----
    Derived: the expolinear course solved for its rate, else for its start.

    Examples
    --------
    >>> rate, start = course(201.5, 35.0, 12.0, 1.5, 0.05, 0.35)
    >>> round(rate, 3), start
    (0.2, 1.5)
    """
    if not 0.0 < total_g_m2 < canopy_g_m2_day * days:
        raise ValueError(
            f"total_g_m2: {total_g_m2:g} is out of reach; allowed above 0, below {canopy_g_m2_day * days:g}"
        )

    def ends_at(rate: float, start: float) -> float:
        return float(grown_g_m2.inner(start, canopy_g_m2_day, rate, days))

    if ends_at(fastest, start_g_m2) < total_g_m2:
        return fastest, _halve(lambda start: ends_at(fastest, start), total_g_m2, start_g_m2, total_g_m2)
    if ends_at(slowest, start_g_m2) > total_g_m2:
        return slowest, _halve(lambda start: ends_at(slowest, start), total_g_m2, 0.0, start_g_m2)
    return _halve(lambda rate: ends_at(rate, start_g_m2), total_g_m2, slowest, fastest), start_g_m2


def _halve(rising: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Return where a rising function meets its target."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if rising(middle) < target else (low, middle)
    return 0.5 * (low + high)


@checked(temp_c=AIR_C, base_c=AIR_C, best_c=AIR_C, ceiling_c=AIR_C)
def temperature_factor(temp_c: ArrayLike, base_c: ArrayLike, best_c: ArrayLike, ceiling_c: ArrayLike) -> Array:
    """Return the share of full growth at a daily mean temperature: 0 at base and ceiling, 1 at the best.

    Parameters
    ----------
    temp_c : array_like
        Daily mean temperature, degC.
    base_c, best_c, ceiling_c : array_like
        Cardinal temperatures of the crop, degC, base < best < ceiling, best nearer the ceiling than the base.

    Notes
    -----
    Source: beta function of Wang & Engel 1998, Agricultural Systems 58:1-24.

    Examples
    --------
    >>> round(float(temperature_factor(15.0, 4.0, 21.0, 33.0)), 3)
    0.814
    """
    t, low = array(temp_c), array(base_c)
    best, top = array(best_c) - low, array(ceiling_c) - low
    power = np.log(2.0) / np.log(top / best)
    x = (clipped(t - low, 0.0, top) / best) ** power
    return plain(np.where((t > low) & (t < array(ceiling_c)), np.maximum(x * (2.0 - x), 0.0), 0.0))


@checked(alkalinity_eq_m3=ANY, stops_ph=PH, full_ph=PH)
def acid_factor(alkalinity_eq_m3: ArrayLike, stops_ph: ArrayLike, full_ph: ArrayLike) -> Array:
    """Return the share of growth and uptake that acid water leaves: none at `stops_ph`, all from `full_ph` up.

    Parameters
    ----------
    alkalinity_eq_m3 : array_like
        Alkalinity, eq/m3, any sign; below zero it is the strong acid in excess, and that sets the pH.
    stops_ph, full_ph : array_like
        Edges, below 5 where bicarbonate no longer counts; stops < full.

    Notes
    -----
    Source: shape after the flowing solutions of Islam, Edwards & Asher 1980, Plant and Soil 54:339-357, where roots
    were hurt below about pH 4; the straight line in the acid is a model choice.

    Examples
    --------
    >>> [round(float(acid_factor(a, 4.0, 5.0)), 2) for a in (1.0, -0.05, -0.2)]
    [1.0, 0.56, 0.0]
    """
    most, some = 10.0 ** (3.0 - array(stops_ph)), 10.0 ** (3.0 - array(full_ph))
    return plain(clipped((most + array(alkalinity_eq_m3)) / (most - some), 0.0, 1.0))


@checked(light_mol_m2_day=AMOUNT, best_mol_m2_day=POSITIVE)
def light_factor(light_mol_m2_day: ArrayLike, best_mol_m2_day: ArrayLike) -> Array:
    """Return the share of full canopy growth at a daily light integral; light beyond the best adds nothing.

    Source: growth in proportion to intercepted light (Monteith 1977, Phil. Trans. R. Soc. B 281:277-294); the cap is
    common practice.
    """
    return plain(clipped(array(light_mol_m2_day) / array(best_mol_m2_day), 0.0, 1.0))


@checked(shoot_t_ha=AMOUNT, a=POSITIVE, b=AMOUNT)
def critical_n_pct(shoot_t_ha: ArrayLike, a: ArrayLike, b: ArrayLike) -> Array:
    """Return the least nitrogen for full growth, percent of dry mass, from the dilution curve of a crop.

    Parameters
    ----------
    shoot_t_ha : array_like
        Shoot dry mass, t/ha (100 g/m2 is 1 t/ha), >= 0; the content is constant up to 1 t/ha.
    a, b : array_like
        Percent at 1 t/ha, and the exponent.

    Notes
    -----
    Source: Lemaire & Gastal 1997, Diagnosis of the nitrogen status in crops, Springer.

    Examples
    --------
    >>> round(float(critical_n_pct(4.3, 3.65, 0.115)), 3)
    3.086
    """
    return plain(array(a) * np.maximum(array(shoot_t_ha), 1.0) ** -array(b))


@checked(shoot_t_ha=AMOUNT, a=POSITIVE, b=AMOUNT)
def crop_n_kg_ha(shoot_t_ha: ArrayLike, a: ArrayLike, b: ArrayLike) -> Array:
    """Return the nitrogen in a crop at the critical content, kg/ha; arguments as `critical_n_pct`."""
    return plain(10.0 * array(shoot_t_ha) * array(critical_n_pct.inner(shoot_t_ha, a, b)))


@checked(mass_g=AMOUNT, gain_g=AMOUNT, held_g=AMOUNT, luxury=AMOUNT, catch_up=AMOUNT)
def wanted_g(mass_g: ArrayLike, gain_g: ArrayLike, held_g: ArrayLike, luxury: ArrayLike, catch_up: float) -> Array:
    """Return what plants would take of an element over a step, g: up to the luxury content, within a catch-up cap.

    Parameters
    ----------
    mass_g, gain_g : array_like
        Dry mass now and the gain nothing would hold back, g, >= 0.
    held_g : array_like
        The element in the plants now, g.
    luxury : array_like
        Content uptake tends to, share of dry mass.
    catch_up : float
        Most that can be taken, as a multiple of what the gain alone would ask.

    Notes
    -----
    Derived: uptake towards a content, limited by the caller's catch-up.
    """
    lux, gain = array(luxury), array(gain_g)
    return plain(clipped((array(mass_g) + gain) * lux - array(held_g), 0.0, catch_up * lux * gain))


@checked(mass_g=AMOUNT, held_g=AMOUNT, critical=POSITIVE)
def allowed_gain_g(mass_g: ArrayLike, held_g: ArrayLike, critical: ArrayLike) -> Array:
    """Return the gain an element allows, g: until its content has fallen to the critical share (law of the minimum)."""
    return plain(np.maximum(array(held_g) / array(critical) - array(mass_g), 0.0))


@checked(pool_g_m3=AMOUNT, wanted_g_m3=AMOUNT, half_g_m3=POSITIVE)
def taken_g_m3(pool_g_m3: ArrayLike, wanted_g_m3: ArrayLike, half_g_m3: ArrayLike) -> Array:
    """Return what leaves a pool over a step, g/m3: the demand, falling with concentration, never more than is there.

    Parameters
    ----------
    pool_g_m3 : array_like
        Concentration at the start, g/m3, >= 0.
    wanted_g_m3 : array_like
        Demand over the step, g/m3, >= 0.
    half_g_m3 : array_like
        Concentration at which half the demand is met, g/m3, > 0.

    Notes
    -----
    Derived: ``D C / (C + K)`` with the denominator from the start of the step, implicit in C, so it stays positive.
    """
    pool = array(pool_g_m3)
    pull = array(wanted_g_m3) / (array(half_g_m3) + pool)
    return plain(pool * pull / (1.0 + pull))


@checked(concentration_g_m3=AMOUNT, half_g_m3=POSITIVE, least_g_m3=AMOUNT)
def saturation(concentration_g_m3: ArrayLike, half_g_m3: ArrayLike, least_g_m3: ArrayLike = 0.0) -> Array:
    """Return the share of full uptake at a concentration: Michaelis-Menten above the least the root can draw on.

    Source: form and lettuce constants of Swiader & Freiji 1996, J. Plant Nutr. 19:15-27.
    """
    above = np.maximum(array(concentration_g_m3) - array(least_g_m3), 0.0)
    return plain(above / (array(half_g_m3) + above))
