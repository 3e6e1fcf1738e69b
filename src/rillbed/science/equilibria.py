"""Equilibrium constants of dilute fresh water and the activity of its ions (T in kelvin, log to base ten inside).

Every public function takes degC, valid 0 to 50, and gives mol/L units at zero ionic strength.
"""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science.arrays import KELVIN, Array, array, plain

# Plummer & Busenberg 1982, Geochim. Cosmochim. Acta 46:1011-1040: constant, T, 1/T, log10 T, 1/T^2
_K1 = (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0)
_K2 = (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9)
_HENRY = (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0)
_CALCITE = (-171.9065, -0.077993, 2839.319, 71.595, 0.0)
# Nordstrom et al. 1990; agrees with two independent programs within 0.005 where they were compared
_WATER = (-283.9710, -0.05069842, 13323.00, 102.24447, -1119669.0)
# Phosphoric acid at 25 degC as in the thermodynamic tables of NIST (grade: memory; temperature left out)
PHOSPHATE_PK = (2.148, 7.198, 12.35)


def _power_of_ten(c: tuple[float, float, float, float, float], temp_c: ArrayLike) -> Array:
    k = array(temp_c) + KELVIN
    return plain(10.0 ** (c[0] + c[1] * k + c[2] / k + c[3] * np.log10(k) + c[4] / k**2))


def k1(temp_c: ArrayLike) -> Array:
    """Return the first acid constant of CO2, mol/L (Plummer & Busenberg 1982).

    Examples
    --------
    >>> round(float(-np.log10(k1(25.0))), 4)
    6.3519
    """
    return _power_of_ten(_K1, temp_c)


def k2(temp_c: ArrayLike) -> Array:
    """Return the second acid constant of CO2, mol/L (Plummer & Busenberg 1982)."""
    return _power_of_ten(_K2, temp_c)


def kw(temp_c: ArrayLike) -> Array:
    """Return the ion product of water, mol2/L2 (Nordstrom et al. 1990)."""
    return _power_of_ten(_WATER, temp_c)


def henry_co2(temp_c: ArrayLike) -> Array:
    """Return the solubility of CO2, mol/L/atm (Plummer & Busenberg 1982)."""
    return _power_of_ten(_HENRY, temp_c)


def calcite_product(temp_c: ArrayLike) -> Array:
    """Return the solubility product of calcite, mol2/L2 (Plummer & Busenberg 1982)."""
    return _power_of_ten(_CALCITE, temp_c)


def davies_a(temp_c: ArrayLike) -> Array:
    """Return the Debye-Hueckel slope of water, from its dielectric constant (0.51 at 25 degC)."""
    t = array(temp_c)
    dielectric = 87.740 - 0.40008 * t + 9.398e-4 * t**2 - 1.410e-6 * t**3
    return plain(1.82483e6 * (dielectric * (t + KELVIN)) ** -1.5)


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

    Examples
    --------
    >>> round(float(davies_gamma(1, 0.01, 25.0)), 3)
    0.902
    """
    root = np.sqrt(array(ionic_strength_mol_l))
    return plain(10.0 ** (-array(davies_a(temp_c)) * charge**2 * (root / (1.0 + root) - 0.3 * root**2)))
