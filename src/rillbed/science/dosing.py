"""How much base one dose may bring: the step of pH it makes at once, before the air evens it out."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from rillbed import facts
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, ANY, POSITIVE, checked

Form = Literal["bicarbonate", "carbonate", "hydroxide"]

LEAST_ALKALINITY_EQ_M3 = facts.choice("water.least_alkalinity_meq_l")

CO2_BOUND: dict[Form, float] = {"bicarbonate": 0.0, "carbonate": 0.5, "hydroxide": 1.0}
"""mol of dissolved CO2 one equivalent of the base turns into bicarbonate."""


@checked(alkalinity_eq_m3=POSITIVE, co2_mol_m3=POSITIVE, ph_step=POSITIVE)
def largest_base_eq_m3(
    alkalinity_eq_m3: ArrayLike, co2_mol_m3: ArrayLike, ph_step: ArrayLike, form: Form = "bicarbonate"
) -> Array:
    """Return the base that lifts pH by `ph_step` in closed water, eq/m3.

    Parameters
    ----------
    alkalinity_eq_m3, co2_mol_m3 : array_like
        Carbonate alkalinity, eq/m3, and CO2, mol/m3, before the dose, both > 0.
    ph_step : array_like
        Rise of pH, > 0.
    form : {"bicarbonate", "carbonate", "hydroxide"}
        What the base is.

    Raises
    ------
    ValueError
        For a form that is not a base.

    Notes
    -----
    Derived: H+ goes with CO2 over bicarbonate; each equivalent adds one of bicarbonate and binds its share of CO2.
    Carbonate ion is left out, so it holds up to pH 8.5.

    Examples
    --------
    >>> co2 = 5.0 / 44.009
    >>> [round(float(largest_base_eq_m3(0.8, co2, 0.2, form)), 3) for form in CO2_BOUND]
    [0.468, 0.071, 0.038]
    """
    if form not in CO2_BOUND:
        raise ValueError(f"form: {form!r} is not a base; allowed: {', '.join(CO2_BOUND)}")
    a, c, ratio, bound = array(alkalinity_eq_m3), array(co2_mol_m3), 10.0 ** array(ph_step), CO2_BOUND[form]
    share = c / (c + bound * ratio * a) if bound else np.ones_like(c)  # what the CO2 it binds leaves of the step
    return plain(a * (ratio - 1.0) * share)


@checked(wanted_eq_m3=ANY, alkalinity_eq_m3=ANY, co2_mol_m3=AMOUNT, ph_step=POSITIVE)
def capped_base_eq_m3(
    wanted_eq_m3: ArrayLike, alkalinity_eq_m3: ArrayLike, co2_mol_m3: ArrayLike, ph_step: float, form: Form
) -> Array:
    """Return the base to give, eq/m3: what is wanted, at most what one step of pH allows; arguments as above.

    Water with hardly any alkalinity left has no step small enough; it is taken to hold `LEAST_ALKALINITY_EQ_M3`.
    Water without CO2 takes no base that binds any.
    """
    most = largest_base_eq_m3.inner(
        np.maximum(array(alkalinity_eq_m3), LEAST_ALKALINITY_EQ_M3), co2_mol_m3, ph_step, form
    )
    return plain(np.clip(array(wanted_eq_m3), 0.0, most))


@checked(alkalinity_eq_m3=POSITIVE, co2_mol_m3=POSITIVE, ph_step=POSITIVE)
def largest_acid_eq_m3(alkalinity_eq_m3: ArrayLike, co2_mol_m3: ArrayLike, ph_step: ArrayLike) -> Array:
    """Return the strong acid that lowers pH by `ph_step` in closed water, eq/m3.

    Parameters
    ----------
    alkalinity_eq_m3, co2_mol_m3 : array_like
        Carbonate alkalinity, eq/m3, and CO2, mol/m3, before the dose, both > 0.
    ph_step : array_like
        Fall of pH, > 0.

    Notes
    -----
    Derived: each equivalent turns one of bicarbonate into CO2. Carbonate ion is left out, so it holds up to pH 8.5.

    Examples
    --------
    >>> round(float(largest_acid_eq_m3(0.8, 5.0 / 44.009, 0.2)), 3)
    0.054
    """
    a, c, ratio = array(alkalinity_eq_m3), array(co2_mol_m3), 10.0 ** -array(ph_step)
    return plain(a * c * (1.0 - ratio) / (c + ratio * a))
