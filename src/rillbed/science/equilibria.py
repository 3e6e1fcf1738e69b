"""Equilibrium constants of dilute fresh water and the activity of its ions (T in kelvin, log to base ten inside).

Every public function takes degC, valid 0 to 50, and gives mol/L units at zero ionic strength.
"""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import series, value
from rillbed.science.arrays import KELVIN, Array, array, plain
from rillbed.science.checks import IONIC_STRENGTH, WATER_C, checked

# Each in the order constant, T, 1/T, log10 T, 1/T^2.
_K1, _K2 = series("carbonate.k1"), series("carbonate.k2")
_HENRY, _CALCITE, _WATER = series("carbonate.henry"), series("carbonate.calcite"), series("carbonate.water")
_DIELECTRIC = series("carbonate.dielectric")
_DAVIES_SLOPE, _DAVIES_LINEAR = value("carbonate.davies_slope"), value("carbonate.davies_linear")

PHOSPHATE_PK = series("carbonate.phosphate_pk")
"""Of phosphoric acid at 25 degC; the middle one, which is the one that counts, hardly changes with temperature."""


def _power_of_ten(c: tuple[float, ...], temp_c: ArrayLike) -> Array:
    k = array(temp_c) + KELVIN
    return plain(10.0 ** (c[0] + c[1] * k + c[2] / k + c[3] * np.log10(k) + c[4] / k**2))


@checked(temp_c=WATER_C)
def k1(temp_c: ArrayLike) -> Array:
    """Return the first acid constant of CO2, mol/L (Plummer & Busenberg 1982).

    Examples
    --------
    >>> round(float(-np.log10(k1(25.0))), 4)
    6.3519
    """
    return _power_of_ten(_K1, temp_c)


@checked(temp_c=WATER_C)
def k2(temp_c: ArrayLike) -> Array:
    """Return the second acid constant of CO2, mol/L (Plummer & Busenberg 1982)."""
    return _power_of_ten(_K2, temp_c)


@checked(temp_c=WATER_C)
def kw(temp_c: ArrayLike) -> Array:
    """Return the ion product of water, mol2/L2 (Nordstrom et al. 1990)."""
    return _power_of_ten(_WATER, temp_c)


@checked(temp_c=WATER_C)
def henry_co2(temp_c: ArrayLike) -> Array:
    """Return the solubility of CO2, mol/L/atm (Plummer & Busenberg 1982)."""
    return _power_of_ten(_HENRY, temp_c)


@checked(temp_c=WATER_C)
def calcite_product(temp_c: ArrayLike) -> Array:
    """Return the solubility product of calcite, mol2/L2 (Plummer & Busenberg 1982)."""
    return _power_of_ten(_CALCITE, temp_c)


@checked(temp_c=WATER_C)
def davies_a(temp_c: ArrayLike) -> Array:
    """Return the Debye-Hueckel slope of water, from its dielectric constant (0.51 at 25 degC)."""
    t = array(temp_c)
    a, b, c, d = _DIELECTRIC
    dielectric = a + b * t + c * t**2 + d * t**3
    return plain(_DAVIES_SLOPE * (dielectric * (t + KELVIN)) ** -1.5)


@checked(ionic_strength_mol_l=IONIC_STRENGTH, temp_c=WATER_C)
def davies_gamma(charge: int, ionic_strength_mol_l: ArrayLike, temp_c: ArrayLike) -> Array:
    """Return the activity coefficient of an ion after Davies.

    Parameters
    ----------
    charge : int
        Charge of the ion, either sign.
    ionic_strength_mol_l : array_like
        Ionic strength, mol/L, valid 0 to 0.1.
    temp_c : array_like
        Water temperature, degC, valid 0 to 50.

    Notes
    -----
    Source: Davies 1962, with the slope of `davies_a`.

    Examples
    --------
    >>> round(float(davies_gamma(1, 0.01, 25.0)), 3)
    0.902
    """
    root = np.sqrt(array(ionic_strength_mol_l))
    return plain(
        10.0 ** (-array(davies_a.inner(temp_c)) * charge**2 * (root / (1.0 + root) - _DAVIES_LINEAR * root**2))
    )
