"""Alkalinity as a titration sees it: which ions count, and how much of it is not carbonate.

Reference species are CO2, NH4+, H2PO4- and water, so ammonia and phosphate carry alkalinity as pH rises.
"""

from dataclasses import dataclass

from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science import ammonia, equilibria
from rillbed.science.arrays import Array, array

N_G_MOL, P_G_MOL = value("atoms.n"), value("atoms.p")


@dataclass(frozen=True, slots=True)
class Water:
    """The constants of one water (or many): equilibria and activity coefficients at its temperature and salts."""

    temp_c: Array
    ionic_strength_mol_l: Array
    gamma1: Array
    gamma2: Array
    gamma3: Array
    k1: Array
    k2: Array
    kw: Array
    henry: Array

    @classmethod
    def at(cls, temp_c: ArrayLike, ionic_strength_mol_l: ArrayLike) -> "Water":
        """Gather the constants at a temperature (degC) and ionic strength (mol/L)."""
        t, i = array(temp_c), array(ionic_strength_mol_l)
        gamma = [array(equilibria.davies_gamma.inner(z, i, t)) for z in (1, 2, 3)]
        return cls(t, i, *gamma, *(array(f(t)) for f in _CONSTANTS))

    def carbonate_share(self, h: Array) -> tuple[Array, Array]:
        """Return CO2 and CO3 per HCO3 at hydrogen ion activity h (mol/L)."""
        return h * self.gamma1 / self.k1, self.k2 / h * self.gamma1 / self.gamma2


_CONSTANTS = (equilibria.k1.inner, equilibria.k2.inner, equilibria.kw.inner, equilibria.henry_co2.inner)


@dataclass(frozen=True, slots=True)
class OtherAlkalinity:
    """Alkalinity that is not carbonate, meq/L each, and the un-ionised ammonia behind the first."""

    ammonia_meq_l: Array
    phosphate_meq_l: Array
    water_meq_l: Array

    @property
    def total_meq_l(self) -> Array:
        """The sum of the parts."""
        return array(self.ammonia_meq_l + self.phosphate_meq_l + self.water_meq_l)


def other_alkalinity(water: Water, ph: ArrayLike, tan_mg_l: ArrayLike, po4_p_mg_l: ArrayLike) -> OtherAlkalinity:
    """Return the alkalinity of ammonia, phosphate and water itself.

    Parameters
    ----------
    water : Water
        Constants of the water.
    ph : array_like
        pH on the activity scale.
    tan_mg_l, po4_p_mg_l : array_like
        Total ammonia as N and phosphate as P, mg/L, >= 0.

    Notes
    -----
    Derived from the proton balance; constants of Emerson et al. 1975 and those of `equilibria`.
    """
    p = array(ph)
    h = 10.0**-p
    nh3 = array(tan_mg_l) / N_G_MOL * array(ammonia.unionized_fraction.inner(p, water.temp_c, water.gamma1))
    ka, kb, kc = (10.0**-pk for pk in equilibria.PHOSPHATE_PK)
    # relative to H2PO4-
    h3po4 = h * water.gamma1 / ka
    hpo4 = kb / h * water.gamma1 / water.gamma2
    po4 = hpo4 * kc / h * water.gamma2 / water.gamma3
    phosphate = array(po4_p_mg_l) / P_G_MOL * (hpo4 + 2.0 * po4 - h3po4) / (1.0 + h3po4 + hpo4 + po4)
    return OtherAlkalinity(nh3, phosphate, 1e3 * (water.kw / (h * water.gamma1) - h / water.gamma1))
