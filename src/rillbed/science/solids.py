"""Solids: what feed leaves behind as particles, how fast they give back what they hold, and what leaves with sludge."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, POSITIVE, SHARE, WATER_C, checked

MOST_MINERAL_SHARE = value("solids.most_mineral_share")
REFERENCE_C = value("solids.reference_temp")


@checked(digestibility=SHARE, eaten_share=SHARE)
def faecal_share(digestibility: ArrayLike, eaten_share: ArrayLike) -> Array:
    """Return the share of the feed given that fish void as solids, of any one nutrient.

    Parameters
    ----------
    digestibility : array_like
        Share of what is eaten that is taken up, 0 to 1.
    eaten_share : array_like
        Share of the feed given that is eaten, 0 to 1.

    Notes
    -----
    Derived: what is eaten and not digested.

    Examples
    --------
    >>> round(float(faecal_share(0.841, 0.808)), 2)
    0.13
    """
    return plain((1.0 - array(digestibility)) * array(eaten_share))


@checked(temp_c=WATER_C, theta=POSITIVE, reference_c=WATER_C)
def temperature_factor(temp_c: ArrayLike, theta: ArrayLike, reference_c: ArrayLike = REFERENCE_C) -> Array:
    """Return the factor on a rate given at `reference_c`; `theta` is the factor per degree, valid 5 to 35 degC.

    Examples
    --------
    >>> round(float(temperature_factor(15.0, 1.07)), 3)
    0.508
    """
    return plain(array(theta) ** (array(temp_c) - array(reference_c)))


@checked(q10=POSITIVE)
def theta_of_q10(q10: ArrayLike) -> Array:
    """Return the factor per degree of a rate that changes by `q10` over ten degrees.

    Examples
    --------
    >>> round(float(theta_of_q10(2.0)), 4)
    1.0718
    """
    return plain(array(q10) ** 0.1)


@checked(pool_g_m3=AMOUNT, rate_per_day=AMOUNT, days=AMOUNT)
def mineralised_g_m3(pool_g_m3: ArrayLike, rate_per_day: ArrayLike, days: ArrayLike) -> Array:
    """Return what a pool gives back in a time, g/m3: first order, exact for any length of step.

    Parameters
    ----------
    pool_g_m3 : array_like
        Held in solids that will break down, g/m3, >= 0.
    rate_per_day : array_like
        Rate at the water's temperature, 1/day, >= 0.
    days : array_like
        Time, >= 0.

    Notes
    -----
    Derived: first-order decay, integrated.
    """
    return plain(array(pool_g_m3) * -np.expm1(-array(rate_per_day) * array(days)))


@checked(rate_per_day=AMOUNT, days=AMOUNT, organic_share=SHARE)
def still_to_come_share(rate_per_day: ArrayLike, days: ArrayLike, organic_share: ArrayLike = 1.0) -> Array:
    """Return the share of a nutrient that has not yet appeared some days after it was given."""
    return plain(array(organic_share) * np.exp(-array(rate_per_day) * array(days)))


@checked(solids_g=AMOUNT, mineral_share=AMOUNT, most=SHARE)
def split_g(solids_g: ArrayLike, mineral_share: ArrayLike, most: float = MOST_MINERAL_SHARE) -> tuple[Array, Array]:
    """Return (what stays and will break down, what leaves with sludge or never breaks down), g; they sum to the input.

    Parameters
    ----------
    solids_g : array_like
        Uneaten and voided, g, >= 0.
    mineral_share : array_like
        Share that breaks down in the loop, 0 or more.
    most : float
        Highest share counted, whatever is asked: some of it always resists.

    Notes
    -----
    Derived: a balance; the highest share is a model choice.
    """
    stays = array(solids_g) * np.minimum(array(mineral_share), most)
    return plain(stays), plain(array(solids_g) - stays)


@checked(fraction_cleaned=SHARE, carried_share=SHARE)
def capacity_left_share(fraction_cleaned: ArrayLike, carried_share: ArrayLike) -> Array:
    """Return the share of nitrifying capacity that stays when part of the solids is washed out.

    Parameters
    ----------
    fraction_cleaned : array_like
        Share of the solids removed, 0 to 1.
    carried_share : array_like
        Share of the bacteria that sit on what is removed, 0 to 1.

    Notes
    -----
    Derived: bacteria leave in proportion to the solids they sit on.
    """
    return plain(1.0 - array(carried_share) * array(fraction_cleaned))
