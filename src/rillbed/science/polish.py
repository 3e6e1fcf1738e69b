"""A pH that is nearly right made right: the full balance of the bench, from a start instead of a bracket."""

from numpy.typing import ArrayLike

from rillbed.science.arrays import Array, array, plain
from rillbed.science.titration import Water, other_alkalinity

ROUNDS = 4  # each about doubles the digits that are right
NUDGE = 1e-4  # pH, for the slope
FURTHEST = 0.5  # pH one round may move


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
    water, alk = Water.at(temp_c, ionic_strength_mol_l), array(alkalinity_meq_l)
    co2, tan, po4, found = array(co2_mol_m3), array(tan_mg_l), array(po4_p_mg_l), array(ph)

    def excess(p: Array) -> Array:
        per_co2, co3 = water.carbonate_share(10.0**-p)
        return co2 / per_co2 * (1.0 + 2.0 * co3) + other_alkalinity(water, p, tan, po4).total_meq_l - alk

    for _ in range(ROUNDS):
        here = excess(found)
        # alkalinity rises with pH, so the slope is never zero
        step = here * NUDGE / (excess(found + NUDGE) - here)
        found = found - step.clip(-FURTHEST, FURTHEST)
    return plain(found)
