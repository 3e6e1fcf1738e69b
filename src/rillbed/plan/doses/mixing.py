"""Part of the water let out and filled up with fresh: what mixing does to pH, free ammonia and temperature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from rillbed import facts
from rillbed.garden.system import SourceWater
from rillbed.plan.doses.chemistry import PH_CAP, TOLERATED, Effect
from rillbed.plan.doses.water import Floats, Samples
from rillbed.plan.members import share
from rillbed.science import ammonia, carbonate

NH3_LINE_MG_L = facts.water_limits()["nh3_act"].low or 0.05
# Shares of the water tried, the largest first.
SHARES = (*(round(0.05 * n, 2) for n in range(20, 0, -1)), 0.02, 0.01)


@dataclass(frozen=True)
class Fresh:
    """The fresh water as known; ``None`` where nobody knows."""

    ph: float | None
    alkalinity_meq_l: float | None
    temp_c: float | None
    tan_mg_l: float
    ca_mg_l: float

    @property
    def known(self) -> bool:
        """Whether its effect on pH can be worked out."""
        return self.ph is not None and self.alkalinity_meq_l is not None


def fresh(source: SourceWater, read: Mapping[str, float], tan_mg_l: float) -> Fresh:
    """Gather what is known of the fresh water, what was read before what the system says."""
    ca = read.get("ca", source.ca_mg_l)
    return Fresh(
        read.get("ph", source.ph),
        read.get("alkalinity", source.alkalinity_meq_l),
        read.get("temperature"),
        read.get("tan", tan_mg_l),
        facts.choice("source_water.ca_mg_l") if ca is None else ca,
    )


def mixed(sample: Samples, water: Fresh, part: float) -> tuple[Effect, Samples]:
    """Mix a share of fresh water in.

    Derived: alkalinity, inorganic carbon, ammonia, calcium and heat mix in proportion; ``at_once`` keeps the carbon,
    ``settled`` returns to the CO2 the tank keeps.
    """
    assert water.ph is not None
    assert water.alkalinity_meq_l is not None
    t, i, tan, p = sample.temp_c, sample.strength_mol_l, sample.tan_mg_l, sample.p_mg_l
    start = carbonate.speciate(t, sample.alkalinity_meq_l, i, ph=sample.ph, tan_mg_l=tan, po4_p_mg_l=p)
    temp_in = t if water.temp_c is None else np.full_like(t, water.temp_c)
    new = carbonate.speciate(temp_in, water.alkalinity_meq_l, i, ph=water.ph, tan_mg_l=water.tan_mg_l)

    def blend(old: Floats, add: Floats | float) -> Floats:
        return np.atleast_1d(np.asarray((1.0 - part) * old + part * np.asarray(add), dtype=float))

    after = replace(
        sample,
        temp_c=blend(t, temp_in),
        alkalinity_meq_l=blend(sample.alkalinity_meq_l, water.alkalinity_meq_l),
        tan_mg_l=blend(tan, water.tan_mg_l),
        p_mg_l=blend(p, 0.0),
        ca_mg_l=blend(sample.ca_mg_l, water.ca_mg_l),
    )
    carbon = blend(np.asarray(start.dic_mmol_l), np.asarray(new.dic_mmol_l))
    args = (after.temp_c, after.alkalinity_meq_l, i)
    closed = carbonate.speciate(*args, dic_mmol_l=carbon, tan_mg_l=after.tan_mg_l, po4_p_mg_l=after.p_mg_l)
    aired = carbonate.speciate(*args, pco2_uatm=start.pco2_uatm, tan_mg_l=after.tan_mg_l, po4_p_mg_l=after.p_mg_l)
    index = carbonate.calcite_saturation_index(
        after.temp_c, np.maximum(after.ca_mg_l, 1e-3), np.maximum(np.asarray(closed.co3_mmol_l), 1e-12), i
    )
    made = Effect(*(np.atleast_1d(np.asarray(v, dtype=float)) for v in (start.ph, closed.ph, aired.ph, index)))
    return made, replace(after, ph=made.settled)


def safe(sample: Samples, made: Effect, after: Samples, day_start: Floats) -> bool:
    """Whether all but the tolerated weight keeps the day's step of pH and gets no more free ammonia over the line."""
    swing = np.maximum(np.abs(made.at_once - day_start), np.abs(made.settled - day_start))
    worst_ph = np.maximum(made.at_once, made.settled)
    then = after.tan_mg_l * np.asarray(ammonia.unionized_fraction(worst_ph, after.temp_c))
    now = sample.tan_mg_l * np.asarray(ammonia.unionized_fraction(sample.ph, sample.temp_c))
    harm = (swing > PH_CAP + 1e-9) | ((then > NH3_LINE_MG_L) & (then > now * (1.0 + 1e-9)))
    return share(harm, sample.weights) <= TOLERATED


def largest(sample: Samples, water: Fresh, most: float, day_start: Floats) -> tuple[float, Effect, Samples] | None:
    """Largest share that is safe, with its effect and the water after it; ``None`` if not even the smallest is."""
    for part in (most, *(part for part in SHARES if part < most)):
        made, after = mixed(sample, water, part)
        if safe(sample, made, after, day_start):
            return part, made, after
    return None
