"""What a dose does to pH: at once, with the carbon it finds, and after the air has evened it out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.plan.doses.water import Floats, Samples
from rillbed.plan.members import quantile, share
from rillbed.science import carbonate

PH_CAP = facts.value("dosing.ph_step")
# Most weight of the ensemble that may be harmed by an advice.
TOLERATED = facts.value("dosing.tolerated_harm")


@dataclass(frozen=True)
class Effect:
    """PH of every member before a dose, at once and settled, and whether the figure can be trusted, (members,)."""

    before: Floats
    at_once: Floats
    settled: Floats
    oversaturated: Floats

    def step(self) -> Floats:
        """Largest change of pH the fish feel, at once or later, (members,)."""
        return np.maximum(np.abs(self.at_once - self.before), np.abs(self.settled - self.before))


def effect(
    sample: Samples, alkalinity_eq_m3: float, carbon_mol_m3: float, *, p_mg_l: float = 0.0, ca_mg_l: float = 0.0
) -> Effect:
    """Dose the samples.

    Parameters
    ----------
    sample : Samples
        Plausible waters.
    alkalinity_eq_m3, carbon_mol_m3 : float
        Alkalinity and inorganic carbon the dose brings; negative alkalinity for an acid.
    p_mg_l, ca_mg_l : float
        Phosphate-P and calcium it brings.

    Notes
    -----
    ``at_once`` holds carbon (closed water), ``settled`` the CO2 of before the dose, which the tank's air and breath
    keep up. Ion pairs are left out: where the water is oversaturated with calcite at once, `oversaturated` is above
    zero and the figure is not to be shown.
    """
    t, i, tan, p = sample.temp_c, sample.strength_mol_l, sample.tan_mg_l, sample.p_mg_l
    start = carbonate.speciate(t, sample.alkalinity_meq_l, i, ph=sample.ph, tan_mg_l=tan, po4_p_mg_l=p)
    after = sample.alkalinity_meq_l + alkalinity_eq_m3
    carbon = np.maximum(np.asarray(start.dic_mmol_l) + carbon_mol_m3, 1e-6)
    # The dose's own ions: a base or acid of single charges adds as much ionic strength as equivalents.
    i = i + 1e-3 * abs(alkalinity_eq_m3)
    closed = carbonate.speciate(t, after, i, dic_mmol_l=carbon, tan_mg_l=tan, po4_p_mg_l=p + p_mg_l)
    aired = carbonate.speciate(t, after, i, pco2_uatm=start.pco2_uatm, tan_mg_l=tan, po4_p_mg_l=p + p_mg_l)
    index = carbonate.calcite_saturation_index(
        t, np.maximum(sample.ca_mg_l + ca_mg_l, 1e-3), np.maximum(np.asarray(closed.co3_mmol_l), 1e-12), i
    )
    return Effect(*(np.atleast_1d(np.asarray(part, dtype=float)) for part in (start.ph, closed.ph, aired.ph, index)))


def harmed(sample: Samples, made: Effect, cap: float = PH_CAP) -> float:
    """Share of the weight in which a dose changes pH by more than the cap."""
    return share(made.step() > cap + 1e-9, sample.weights)


def allowed(sample: Samples, made: Effect, cap: float = PH_CAP) -> bool:
    """Whether no more than the tolerated weight of the ensemble breaks the cap."""
    return harmed(sample, made, cap) <= TOLERATED


def shown(sample: Samples, values: Floats, made: Effect) -> float | None:
    """Middle of a pH over the samples, or ``None`` where calcite makes the figure worthless."""
    if share(made.oversaturated > 0.0, sample.weights) > TOLERATED:
        return None
    return quantile(values, sample.weights, 0.5)


def co2_mol_m3(sample: Samples) -> Floats:
    """Dissolved CO2 of the samples, mol/m3, (members,)."""
    start = carbonate.speciate(
        sample.temp_c, sample.alkalinity_meq_l, sample.strength_mol_l, ph=sample.ph,
        tan_mg_l=sample.tan_mg_l, po4_p_mg_l=sample.p_mg_l,
    )  # fmt: skip
    return np.atleast_1d(np.asarray(start.co2_mg_l, dtype=float)) / carbonate.CO2_G_MOL
