"""The hard caps: what is never done, whatever the goal, each with its numbers and what to do instead."""

from __future__ import annotations

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.doses.answer import Goal, Refusal
from rillbed.plan.doses.chemistry import TOLERATED
from rillbed.plan.doses.water import Floats, Samples, Water
from rillbed.plan.members import quantile, share
from rillbed.science import ammonia

NO_BASE_FROM_TAN_MG_L = facts.value("dosing.no_base_from_tan")

# Household names people reach for, and the rule that forbids them.
FORBIDDEN = {
    "vinegar": "refuse.organic_acid", "acetic_acid": "refuse.organic_acid", "citric_acid": "refuse.organic_acid",
    "lemon_juice": "refuse.organic_acid", "copper": "refuse.copper", "copper_sulfate": "refuse.copper",
    "zinc_sulfate": "refuse.copper", "iron_tablets": "refuse.tablets", "tablets": "refuse.tablets",
    "ferrous_sulfate": "refuse.tablets", "nails": "refuse.tablets", "bleach": "refuse.bleach",
    "hypochlorite": "refuse.bleach", "wood_ash": "refuse.ash", "algaecide": "refuse.copper",
    "sea_salt": "refuse.salt_with_additives", "iodised_salt": "refuse.salt_with_additives",
}  # fmt: skip
INSTEAD = {
    "refuse.organic_acid": ("instead.find_the_source", "instead.soft_water"),
    "refuse.copper": ("instead.shade_and_clean",),
    "refuse.tablets": ("instead.chelate",),
    "refuse.bleach": ("instead.plain_water",),
    "refuse.ash": ("instead.bicarbonate",),
    "refuse.salt_with_additives": ("instead.plain_salt",),
}  # fmt: skip
CAUTIONS = {"refuse.bleach": ("ammonia.bleach",)}


def forbidden(goal: Goal) -> Refusal | None:
    """Refuse what is on no shelf of a loop."""
    name = (goal.substance or "").strip().lower().replace(" ", "_").replace("-", "_")
    code = FORBIDDEN.get(name)
    if code is None:
        return None
    why = (Reason(code, {"substance": name.replace("_", " ")}),)
    return Refusal(goal, code, why, tuple(Reason(item) for item in INSTEAD[code]), CAUTIONS.get(code, ()))


def alkaline_with_ammonia(goal: Goal, water: Water, sample: Samples | None = None) -> Refusal | None:
    """Refuse to raise pH while ammonia is high and fish breathe it: each 0.3 of pH doubles the toxic share.

    Where it was not read the members of ``sample`` decide; without them the reading is asked for.
    """
    if not water.fish:
        return None
    high: float | None
    if water.knows("tan"):
        high = water.high("tan")
    elif sample is not None and water.on is not None:
        high = quantile(sample.tan_mg_l, sample.weights, 1.0 - TOLERATED)
    else:
        return missing(goal, "tan")
    if high is not None and high < NO_BASE_FROM_TAN_MG_L:
        return None
    why = (Reason("refuse.tan", {"high": high, "mark": NO_BASE_FROM_TAN_MG_L}),)
    instead = (Reason("instead.lower_ammonia"), Reason("instead.reread_then_base"))
    return Refusal(goal, "refuse.tan", why, instead, facts=("dosing.no_base_from_tan",))


def toxic_ammonia(goal: Goal, water: Water, sample: Samples, ph_after: Floats) -> Refusal | None:
    """Refuse where more than the tolerated weight would end over the line at which free ammonia harms."""
    if not water.fish:
        return None
    line = facts.water_limits()["nh3_act"].low
    assert line is not None
    high = water.high("tan")
    tan = np.maximum(sample.tan_mg_l, high if high is not None else 0.0)
    now, then = (_free(tan, ph, sample.temp_c) for ph in (sample.ph, ph_after))
    harm = share((then > line) & (then > now), sample.weights)
    if harm <= TOLERATED:
        return None
    values = {"share": harm, "nh3": quantile(then, sample.weights, 0.99), "line": line}
    why = (Reason("refuse.free_ammonia", values),)
    return Refusal(
        goal, "refuse.free_ammonia", why, (Reason("instead.lower_ammonia"),), facts=("water_limits/nh3_act",)
    )


def _free(tan: Floats, ph: Floats, temp_c: Floats) -> Floats:
    return np.atleast_1d(np.asarray(tan * np.asarray(ammonia.unionized_fraction(ph, temp_c)), dtype=float))


def missing(goal: Goal, quantity: str) -> Refusal:
    """Ask for the one reading without which no amount is safe."""
    why = (Reason("refuse.unknown", {"quantity": quantity}),)
    return Refusal(goal, "refuse.unknown", why, (Reason("instead.read", {"quantity": quantity}),), ask=quantity)
