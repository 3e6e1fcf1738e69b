"""Constants of one day: equilibria at the water's temperature and ionic strength, in mol/m3."""

import numpy as np

from rillbed import facts
from rillbed.engine import stoichiometry as st
from rillbed.engine.result import Array
from rillbed.engine.state import IONS, MINERALS, S, added
from rillbed.science import ammonia, equilibria, oxygen

PER_G: Array = np.array([[st.VALENCE[e] ** 2 / st.MOLAR_G[e]] for e in MINERALS])  # of twice the ionic strength


def ionic_strength(y: Array) -> Array:
    """Ionic strength, mol/L, of the followed ions and bicarbonate."""
    nitrogen = (y[S.NO3] + y[S.NO2] + y[S.TAN]) / st.MOLAR_G["n"]
    return np.asarray(0.5e-3 * (np.maximum(y[S.ALK], 0.0) + nitrogen + added(y[IONS] * PER_G)))


def constants(temp_c: float | Array, y: Array, pressure_atm: float | Array) -> dict[str, Array]:
    """Constants of the day for every member; activity after Davies."""
    strength = ionic_strength(y)
    g1, g2 = (equilibria.davies_gamma.inner(z, strength, temp_c) for z in (1, 2))
    k1, k2 = equilibria.k1.inner(temp_c), equilibria.k2.inner(temp_c)
    return {
        "k1": k1 * 1e3 / g1,
        "rho": k2 * g1**2 / (k1 * g2),
        "gamma1": g1,
        "strength": strength,
        "kw": equilibria.kw.inner(temp_c) * 1e6 / g1,
        "ka_nh3": 1e3 * 10.0 ** -ammonia.pka.inner(temp_c) * g1,
        "ka_po4": 1e3 * 10.0 ** -equilibria.PHOSPHATE_PK[1] * g1 / g2,
        "co2_eq": equilibria.henry_co2.inner(temp_c) * facts.choice("air.co2_uatm") * 1e-3 * pressure_atm,
        "o2_sat": oxygen.saturation_mg_l.inner(temp_c, pressure_atm),
    }


def calcite_product(temp_c: float | Array, y: Array) -> Array:
    """Solubility product of calcite in this water, mol2/L2."""
    g2 = equilibria.davies_gamma.inner(2, ionic_strength(y), temp_c)
    return np.asarray(equilibria.calcite_product.inner(temp_c) / g2**2)
