"""Shell or limestone in a bag: how far it can lift pH by itself, and how much of it lasts a season."""

from __future__ import annotations

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.doses import limits, parts
from rillbed.plan.doses.answer import DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.course import used_up
from rillbed.plan.doses.water import Floats, Samples, Water
from rillbed.plan.members import band, quantile
from rillbed.science import carbonate

SUPPLY = "calcium_carbonate"
LASTS_DAYS = facts.value("dosing.media_days")
CA_PER_EQ = carbonate.CA_G_MOL / 2.0


def ceiling(sample: Samples) -> tuple[Floats, Floats]:
    """Alkalinity, meq/L, and pH at which calcite stops dissolving at the CO2 the water has, (members,).

    Derived: calcium rises by half an equivalent with alkalinity until the ion product is that of calcite. Water that
    is there already stays where it is.
    """
    t, i, tan, p = sample.temp_c, sample.strength_mol_l, sample.tan_mg_l, sample.p_mg_l
    start = carbonate.speciate(t, sample.alkalinity_meq_l, i, ph=sample.ph, tan_mg_l=tan, po4_p_mg_l=p)
    low, high = np.zeros_like(sample.ph), np.full_like(sample.ph, 20.0)
    for _ in range(30):
        middle = 0.5 * (low + high)
        index, _ = _index(sample, middle, np.asarray(start.pco2_uatm))
        full = index > 0.0
        low, high = np.where(full, low, middle), np.where(full, middle, high)
    rise = np.where(high < 1e-4, 0.0, 0.5 * (low + high))
    return sample.alkalinity_meq_l + rise, _index(sample, rise, np.asarray(start.pco2_uatm))[1]


def _index(sample: Samples, rise: Floats, pco2: Floats) -> tuple[Floats, Floats]:
    # Calcium and bicarbonate add three halves of their equivalents to the ionic strength.
    strength = sample.strength_mol_l + 1.5e-3 * rise
    at = carbonate.speciate(
        sample.temp_c, sample.alkalinity_meq_l + rise, strength, pco2_uatm=pco2,
        tan_mg_l=sample.tan_mg_l, po4_p_mg_l=sample.p_mg_l,
    )  # fmt: skip
    ca = np.maximum(sample.ca_mg_l + CA_PER_EQ * rise, 1e-6)
    index = carbonate.calcite_saturation_index(sample.temp_c, ca, at.co3_mmol_l, strength)
    return np.atleast_1d(np.asarray(index, dtype=float)), np.atleast_1d(np.asarray(at.ph, dtype=float))


def plan(goal: Goal, water: Water, sample: Samples) -> DosePlan | Refusal:
    """Size a bag of carbonate for a target alkalinity, or say that it cannot get there by itself."""
    refused = limits.alkaline_with_ammonia(goal, water, sample)
    if refused is not None:
        return refused
    alk, ph = ceiling(sample)
    most, most_ph = quantile(alk, sample.weights, 0.5), quantile(ph, sample.weights, 0.5)
    now = quantile(sample.alkalinity_meq_l, sample.weights, 0.5)
    target = most if goal.target is None else goal.target
    values = {"now": now, "most": most, "ph": most_ph, "target": target}
    if target <= now + 0.005:
        why = Reason("refuse.reached", {"now": now, "target": target})
        return Refusal(goal, "refuse.reached", (why,), (Reason("instead.nothing"),))
    if target > most + 0.005:
        why = Reason("refuse.media_ceiling", values)
        return Refusal(goal, "refuse.media_ceiling", (why,), (Reason("instead.bicarbonate"),), facts=("carbonate.k1",))
    refused = limits.toxic_ammonia(goal, water, sample, ph)
    if refused is not None:
        return refused
    row = facts.supplements()[SUPPLY]
    used = 0.0 if sample.used_meq_l_day is None else max(0.0, quantile(sample.used_meq_l_day, sample.weights, 0.9))
    eq_m3 = target - now + used * LASTS_DAYS
    grams = eq_m3 * water.volume_m3 / row.alkalinity_eq_per_g
    adds = {"ca": CA_PER_EQ * (target - now)}
    step = Step(0, parts.FIRST_HOUR, SUPPLY, grams, "g", None, ph_settled=most_ph, adds_mg_l=adds)
    days = used_up(eq_m3, sample)
    return DosePlan(
        goal,
        (step,),
        reached=most,
        expect=(Reason("expect.slow", {"ph": most_ph, "alkalinity": most}),),
        retest_day=int(facts.value("dosing.media_retest_days")),
        again_days=None if days is None else band(days, sample.weights),
        reasons=(Reason("doses.media", {**values, "grams": grams}), Reason("doses.media_slow"),
                 Reason("doses.media_out")),
        not_to_do=(Reason("not.media_in_filter"),),
        cautions=("media.rinse",),
        facts=(f"supplements/{SUPPLY}", "dosing.media_days", "carbonate.calcite"),
    )  # fmt: skip
