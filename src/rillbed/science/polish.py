"""A pH that is nearly right made right: the full balance of the bench, from a start instead of a bracket."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science import ammonia, equilibria
from rillbed.science.arrays import Array, array, plain
from rillbed.science.titration import N_G_MOL, P_G_MOL, Water

ROUNDS = 4  # each about doubles the digits that are right
NUDGE = 1e-4  # share of H+, for the slope
FURTHEST = 1.0  # one round may move the logarithm of H+ by this
KA_FIRST, _, KA_THIRD = (float(1e3 * 10.0**-pk) for pk in equilibria.PHOSPHATE_PK)  # of phosphate, mol/m3


def polished_ph(
    ph: ArrayLike,
    co2_mol_m3: ArrayLike,
    alkalinity_meq_l: ArrayLike,
    temp_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    tan_mg_l: ArrayLike = 0.0,
    po4_p_mg_l: ArrayLike = 0.0,
) -> Array:
    """Return the pH at which CO2 and alkalinity balance, by Newton's method.

    Parameters
    ----------
    ph : array_like
        Start, within about a tenth of a unit of the answer.
    co2_mol_m3 : array_like
        Dissolved CO2, mol/m3, > 0.
    alkalinity_meq_l, temp_c, ionic_strength_mol_l, tan_mg_l, po4_p_mg_l : array_like
        As in `carbonate.speciate`; not checked here.

    Notes
    -----
    Derived: same balance and constants as `carbonate.speciate`, at a tenth of its cost.

    Examples
    --------
    >>> from rillbed.science.carbonate import CO2_G_MOL, speciate
    >>> co2 = speciate(25.0, 2.0, 0.003, ph=9.2).co2_mg_l / CO2_G_MOL
    >>> round(float(polished_ph(9.15, co2, 2.0, 25.0, 0.003)), 6)
    9.2
    """
    water = Water.at(temp_c, ionic_strength_mol_l)
    g1, g2 = water.gamma1, water.gamma2
    h = polished(
        10.0 ** (3.0 - array(ph)), array(co2_mol_m3), array(alkalinity_meq_l), array(tan_mg_l), array(po4_p_mg_l),
        k1=water.k1 * 1e3 / g1, rho=water.k2 * g1**2 / (water.k1 * g2), gamma1=g1, kw=water.kw * 1e6 / g1,
        ka_nh3=1e3 * 10.0 ** -array(ammonia.pka.inner(temp_c)) * g1,
        ka_po4=1e3 * 10.0 ** -equilibria.PHOSPHATE_PK[1] * g1 / g2,
    )  # fmt: skip
    return plain(3.0 - np.log10(h))


def polished(
    h: Array, co2: Array, alk: Array, tan: Array, po4: Array,
    k1: Array, rho: Array, gamma1: Array, kw: Array, ka_nh3: Array, ka_po4: Array,
) -> Array:  # fmt: skip
    """Do the work of `polished_ph` on H+ activity and the constants a day holds, all in mol/m3."""
    for _ in range(ROUNDS):
        here = excess(h, co2, alk, tan, po4, k1, rho, gamma1, kw, ka_nh3, ka_po4)
        there = excess(h + h * NUDGE, co2, alk, tan, po4, k1, rho, gamma1, kw, ka_nh3, ka_po4)
        # alkalinity falls as H+ rises, so the slope is never zero
        step = here * NUDGE / (here - there)
        h = h * np.exp(np.minimum(np.maximum(step, -FURTHEST), FURTHEST))
    return h


def excess(
    h: Array, co2: Array, alk: Array, tan: Array, po4: Array,
    k1: Array, rho: Array, gamma1: Array, kw: Array, ka_nh3: Array, ka_po4: Array,
) -> Array:  # fmt: skip
    """Return the alkalinity of a water at a trial H+ less the one it has, eq/m3."""
    hco3 = k1 * co2 / h
    carbonate = hco3 * (1.0 + 2.0 * rho * k1 / h)
    # of phosphate relative to H2PO4-; the activity coefficient of a charge z is that of one to the power z squared
    square = gamma1 * gamma1
    acid, base = h * gamma1 / KA_FIRST, ka_po4 / h
    full = base * KA_THIRD / (h * square * square * gamma1)
    phosphate = po4 / P_G_MOL * (base + 2.0 * full - acid) / (1.0 + acid + base + full)
    return carbonate + tan / N_G_MOL * ka_nh3 / (ka_nh3 + h) + phosphate + kw / h - h / gamma1 - alk
