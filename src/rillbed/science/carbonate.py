"""The carbonate system of fresh water: the full bench for doses and reports, and the short form of the hourly step.

pH is -log10 of hydrogen ion activity, which is what an electrode and a colour kit follow. Ion pairs are left out:
below pH 8 the bench agrees with a full program within 0.04, but a strong base in hard water reads up to 0.3 high.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rillbed import facts
from rillbed.science import equilibria
from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, ANY, IONIC_STRENGTH, POSITIVE, WATER_C, Range, checked, within
from rillbed.science.titration import N_G_MOL, OtherAlkalinity, Water, other_alkalinity

CO2_G_MOL = facts.value("atoms.c") + 2.0 * facts.value("atoms.o")
CA_G_MOL = facts.value("atoms.ca")
PH_LOW, PH_HIGH = 2.0, 12.5
_HALVINGS = 50  # 10.5 pH units to better than 1e-14


@dataclass(frozen=True, slots=True)
class Speciation:
    """Where the inorganic carbon of a water is; every field is a scalar or an array, as the inputs were."""

    ph: Array
    co2_mg_l: Array
    dic_mmol_l: Array
    pco2_uatm: Array
    hco3_mmol_l: Array
    co3_mmol_l: Array
    nh3_n_mg_l: Array
    carbonate_alkalinity_meq_l: Array
    ammonia_alkalinity_meq_l: Array
    phosphate_alkalinity_meq_l: Array
    water_alkalinity_meq_l: Array


@checked(
    temp_c=WATER_C,
    alkalinity_meq_l=Range(-100.0, 200.0),
    ionic_strength_mol_l=IONIC_STRENGTH,
    tan_mg_l=Range(0.0, 1e4),
    po4_p_mg_l=Range(0.0, 1e4),
)
def speciate(
    temp_c: ArrayLike,
    alkalinity_meq_l: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    ph: ArrayLike | None = None,
    dic_mmol_l: ArrayLike | None = None,
    pco2_uatm: ArrayLike | None = None,
    tan_mg_l: ArrayLike = 0.0,
    po4_p_mg_l: ArrayLike = 0.0,
) -> Speciation:
    """Return the carbonate system from alkalinity and exactly one of pH, dissolved inorganic carbon or pCO2.

    Parameters
    ----------
    temp_c : array_like
        Water temperature, degC, 0 to 50.
    alkalinity_meq_l : array_like
        Total alkalinity of a titration to pH near 4.5, meq/L; negative once acid is in excess.
    ionic_strength_mol_l : array_like
        Ionic strength, mol/L, 0 to 0.1.
    ph, dic_mmol_l, pco2_uatm : array_like, optional
        The one known: pH (2 to 12.5), dissolved inorganic carbon (mmol/L, > 0), or CO2 in balance (uatm, > 0).
    tan_mg_l, po4_p_mg_l : array_like
        Total ammonia as N and phosphate as P, mg/L.

    Returns
    -------
    Speciation
        Fields in the broadcast shape of the inputs; scalars give scalars.

    Raises
    ------
    ValueError
        Not exactly one known; an input outside its range; or no pH from 2 to 12.5 fits.

    Notes
    -----
    Derived: charge balance with the constants of Plummer & Busenberg 1982 and Davies activities. CO2 is counted with
    carbonic acid, pCO2 as fugacity.

    Examples
    --------
    >>> water = speciate(25.0, 2.0, 0.0025, ph=7.0)
    >>> round(float(water.co2_mg_l), 1)
    18.7
    """
    knowns = {"ph": ph, "dic_mmol_l": dic_mmol_l, "pco2_uatm": pco2_uatm}
    given = [name for name, value in knowns.items() if value is not None]
    if len(given) != 1:
        said = " and ".join(given) if given else "none"
        raise ValueError(f"speciate: give exactly one of ph, dic_mmol_l, pco2_uatm; got {said}")
    known = given[0]
    value = within(known, knowns[known], _RANGES[known])

    water, alk = Water.at(temp_c, ionic_strength_mol_l), array(alkalinity_meq_l)
    tan, po4 = array(tan_mg_l), array(po4_p_mg_l)
    found = value if known == "ph" else _solve(water, alk, known, value, tan, po4)
    other = other_alkalinity(water, found, tan, po4)
    if known == "ph":
        hco3 = (alk - other.total_meq_l) / (1.0 + 2.0 * water.carbonate_share(10.0**-found)[1])
        bad = hco3 <= 0.0
        if np.any(bad):
            raise ValueError(
                f"alkalinity_meq_l {_first(alk, bad):g} does not fit ph {_first(found, bad):g}: allowed is more than "
                f"{_first(other.total_meq_l, bad):.4g}, the part that is not carbonate"
            )
    else:
        hco3 = _bicarbonate(water, found, known, value)
    return _result(water, found, hco3, other)


@checked(temp_c=WATER_C, ca_mg_l=POSITIVE, co3_mmol_l=POSITIVE, ionic_strength_mol_l=IONIC_STRENGTH)
def calcite_saturation_index(
    temp_c: ArrayLike, ca_mg_l: ArrayLike, co3_mmol_l: ArrayLike, ionic_strength_mol_l: ArrayLike
) -> Array:
    """Return log10 of the ion product of calcite over its solubility: above 0 scale may form.

    Parameters
    ----------
    temp_c : array_like
        Water temperature, degC, 0 to 50.
    ca_mg_l : array_like
        Dissolved calcium, mg/L, > 0.
    co3_mmol_l : array_like
        Carbonate ion, mmol/L, > 0.
    ionic_strength_mol_l : array_like
        Ionic strength, mol/L, 0 to 0.1.

    Notes
    -----
    Source: Plummer & Busenberg 1982, with Davies activities and no ion pairs (which lower it by a few hundredths).
    """
    gamma2 = array(equilibria.davies_gamma.inner(2, ionic_strength_mol_l, temp_c))
    product = array(ca_mg_l) / CA_G_MOL * 1e-3 * array(co3_mmol_l) * 1e-3 * gamma2**2
    return plain(np.log10(product / array(equilibria.calcite_product.inner(temp_c))))


@checked(co2_mol_m3=POSITIVE, alk_c_eq_m3=ANY, temp_c=WATER_C, ionic_strength_mol_l=IONIC_STRENGTH)
def step_ph(co2_mol_m3: ArrayLike, alk_c_eq_m3: ArrayLike, temp_c: ArrayLike, ionic_strength_mol_l: ArrayLike) -> Array:
    """Return pH in closed form from CO2 and the alkalinity left after ammonia and phosphate.

    Parameters
    ----------
    co2_mol_m3 : array_like
        CO2, mol/m3, > 0.
    alk_c_eq_m3 : array_like
        Alkalinity less ammonia and phosphate, eq/m3, any sign.
    temp_c, ionic_strength_mol_l : array_like
        Water temperature, degC, 0 to 50, and ionic strength, mol/L, 0 to 0.1.

    Returns
    -------
    array or scalar, pH.

    Notes
    -----
    Derived. One root takes the hydrogen ion in, so the form stays positive once acid is in excess; a second takes in
    the carbonate ion, with hydroxide at its value from the first. Within 0.001 of the bench from pH 6 to 8.75 in
    water of 0.5 eq/m3 and more; above pH 8.8 use the bench.
    """
    water = Water.at(temp_c, ionic_strength_mol_l)
    rho = water.k2 * water.gamma1**2 / (water.k1 * water.gamma2)
    k1 = water.k1 * 1e3 / water.gamma1
    h = step_hydrogen.inner(co2_mol_m3, alk_c_eq_m3, k1, rho, water.gamma1, water.kw * 1e6 / water.gamma1)
    return plain(3.0 - np.log10(h))


@checked(co2_mol_m3=POSITIVE, alk_c_eq_m3=ANY, k1=POSITIVE, rho=POSITIVE, gamma1=POSITIVE, kw=AMOUNT)
def step_hydrogen(
    co2_mol_m3: ArrayLike,
    alk_c_eq_m3: ArrayLike,
    k1: ArrayLike,
    rho: ArrayLike,
    gamma1: ArrayLike = 1.0,
    kw: ArrayLike = 0.0,
) -> Array:
    """Return hydrogen ion activity, mol/m3, for a caller that holds the day's constants; see `step_ph`.

    Parameters
    ----------
    co2_mol_m3, alk_c_eq_m3 : array_like
        CO2, mol/m3, > 0, and alkalinity less ammonia and phosphate, eq/m3, any sign.
    k1 : array_like
        First acid constant over the activity coefficient of HCO3, mol/m3.
    rho : array_like
        ``K2 gamma1^2 / (K1 gamma2)``.
    gamma1 : array_like
        Activity coefficient of a single charge.
    kw : array_like
        Ion product of water over gamma1, mol2/m6; the default leaves hydroxide out.

    Notes
    -----
    Derived: two roots; see `step_ph`.
    """
    return plain(hydrogen_root(array(co2_mol_m3), array(alk_c_eq_m3), array(k1), array(rho), array(gamma1), array(kw)))


def hydrogen_root(co2: Array, alk: Array, k1: Array, rho: Array, gamma1: Array, kw: Array) -> Array:
    """Do the work of `step_hydrogen` on arrays that need no conversion."""
    made = k1 * co2
    product = 4.0 * made / gamma1
    # half of a + sqrt(a^2 + 4 product), written so that acid in excess cancels no digits
    first = np.maximum(alk, 0.0) + 0.5 * product / (np.sqrt(alk * alk + product) + np.abs(alk))
    carbonate = first * np.maximum(1.0 - kw / made, 0.5)
    # 2/(1 + sqrt(1 + q)) is the share left as bicarbonate: sqrt(1 + q) - 1 would lose small q
    return np.asarray(0.5 * made * (1.0 + np.sqrt(1.0 + 8.0 * rho * carbonate / co2)) / carbonate)


_RANGES = {"ph": Range(PH_LOW, PH_HIGH), "dic_mmol_l": Range(1e-9, 1e3), "pco2_uatm": Range(1e-6, 1e6)}


def _bicarbonate(water: Water, ph: Array, known: str, value: Array) -> Array:
    """Return HCO3 (mmol/L) at a trial pH from the known amount of carbon."""
    co2, co3 = water.carbonate_share(10.0**-ph)
    if known == "dic_mmol_l":
        return value / (1.0 + co2 + co3)
    return water.henry * value * 1e-3 / co2


def _solve(water: Water, alk: Array, known: str, value: Array, tan: Array, po4: Array) -> Array:
    """Find the pH by halving: alkalinity rises with pH at fixed carbon and at fixed pCO2 alike."""

    def excess(ph: Array) -> Array:
        co3 = water.carbonate_share(10.0**-ph)[1]
        carbonate = _bicarbonate(water, ph, known, value) * (1.0 + 2.0 * co3)
        return carbonate + other_alkalinity(water, ph, tan, po4).total_meq_l - alk

    shape = np.broadcast(water.temp_c, water.ionic_strength_mol_l, alk, value, tan, po4).shape
    low, high = np.full(shape, PH_LOW), np.full(shape, PH_HIGH)
    outside = (excess(low) > 0.0) | (excess(high) < 0.0)
    if np.any(outside):
        raise ValueError(
            f"alkalinity_meq_l {_first(alk, outside):g} with {known} {_first(value, outside):g}: no pH from {PH_LOW:g} "
            f"to {PH_HIGH:g} fits"
        )
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        above = excess(middle) > 0.0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return array(0.5 * (low + high))


def _result(water: Water, ph: Array, hco3: Array, other: OtherAlkalinity) -> Speciation:
    co2, co3 = (hco3 * share for share in water.carbonate_share(10.0**-ph))
    fields = (ph, co2 * CO2_G_MOL, hco3 + co2 + co3, co2 * 1e3 / water.henry, hco3, co3, other.ammonia_meq_l * N_G_MOL,
              hco3 + 2.0 * co3, other.ammonia_meq_l, other.phosphate_meq_l, other.water_meq_l)  # fmt: skip
    return Speciation(*(plain(part) for part in np.broadcast_arrays(*fields)))


def _first(values: Array, where: NDArray[np.bool_]) -> float:
    """Return the first offending value, for the message."""
    return float(np.broadcast_to(values, where.shape)[where].flat[0])
