"""What so many grams of one supply would do: pH, what else comes with it, and whether it is too much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band
from rillbed.plan.doses import course, limits, parts
from rillbed.plan.doses.answer import Goal, Refusal
from rillbed.plan.doses.chemistry import PH_CAP, TOLERATED, Effect, allowed, effect, harmed, shown
from rillbed.plan.doses.water import Contradiction, Samples, Water, samples
from rillbed.plan.members import band
from rillbed.plan.shelf import BASES, Choice

MOST_G = 1e6


@dataclass(frozen=True)
class Added:
    """One dose in one go.

    Attributes
    ----------
    substance, grams : str, float
    ph_before, ph_at_once, ph_settled : Band or None
        Over what the water may be; None where neither pH nor alkalinity is known, or calcite falls out.
    alkalinity_meq_l : Band or None
        After the dose.
    adds_mg_l : mapping
        What comes with it by element, mg/L.
    harm : float
        Share of the plausible waters in which pH moves by more than one day allows.
    most_g : float
        Most of it that one day allows, g.
    fine : bool
        Whether it keeps within what one day allows and no rule forbids it.
    reasons : tuple of Reason
    refused : Refusal or None
        The rule that forbids it, with what to do instead.
    cautions : tuple of str
    """

    substance: str
    grams: float
    ph_before: Band | None
    ph_at_once: Band | None
    ph_settled: Band | None
    alkalinity_meq_l: Band | None
    adds_mg_l: Mapping[str, float]
    harm: float
    most_g: float
    fine: bool
    reasons: tuple[Reason, ...]
    refused: Refusal | None
    cautions: tuple[str, ...]


def added(substance: str, grams: float, water: Water, forecast: Forecast | None = None) -> Added | Refusal:
    """Say what a dose would do.

    Parameters
    ----------
    substance : str
        Id in `facts.supplements()`, or a household name that a rule may forbid.
    grams : float
        Above 0, at most 1e6.
    water : Water
    forecast : Forecast, optional
        Fills in what was not read.

    Raises
    ------
    ValueError
        For an unknown supply or an impossible amount.
    """
    goal = Goal("supplement", substance=substance, needs={"k": 0.0})
    if (forbidden := limits.forbidden(goal)) is not None:
        return forbidden
    table = facts.supplements()
    if substance not in table:
        raise ValueError(f"substance = {substance!r}: must be one of {', '.join(sorted(table))}")
    if not 0.0 < grams <= MOST_G:
        raise ValueError(f"grams = {grams:g}: must be above 0, at most {MOST_G:g}")
    row = table[substance]
    brought = parts.brings(row, grams, water.volume_m3)
    try:
        sample: Samples | None = samples(water, forecast)
    except KeyError:
        sample = None
    except Contradiction:
        why = Reason("refuse.contradiction", {"quantities": ("ph", "alkalinity")})
        return Refusal(goal, "refuse.contradiction", (why,), (Reason("instead.read_again"),), ask="ph")
    room = parts.largest_by_elements(row, water.volume_m3, parts.room_mg_l(water))
    most, reasons = min(room, MOST_G), []
    if sample is None:
        if row.alkalinity_eq_per_g:
            reasons.append(Reason("added.unknown"))
        made = None
    else:
        made = _effect(substance, grams, water, sample)
        most = min(most, _most(substance, water, sample))
    harm = 0.0 if made is None or sample is None else harmed(sample, made)
    refused = None
    if row.alkalinity_eq_per_g > 0.0:
        refused = limits.alkaline_with_ammonia(goal, water, sample)
        if refused is None and sample is not None and made is not None:
            refused = limits.toxic_ammonia(goal, water, sample, made.settled)
    if harm > TOLERATED:
        reasons.append(Reason("added.too_fast", {"share": harm, "cap": PH_CAP, "most": most}))
    elif grams > room:
        name = min(brought, key=lambda one: _room(one, brought, grams, row, water))
        reasons.append(Reason("added.too_much", {"element": name, "mg_l": brought[name], "most": room}))
    unsure = row.alkalinity_eq_per_g != 0.0 and sample is None
    return Added(
        substance=substance, grams=grams,
        ph_before=None if sample is None else band(sample.ph, sample.weights),
        ph_at_once=_ph(sample, made, "at_once"), ph_settled=_ph(sample, made, "settled"),
        alkalinity_meq_l=None if sample is None else band(
            sample.alkalinity_meq_l + row.alkalinity_eq_per_g * grams / water.volume_m3, sample.weights
        ),
        adds_mg_l=brought, harm=harm, most_g=most,
        fine=refused is None and harm <= TOLERATED and grams <= room and not unsure,
        reasons=tuple(reasons), refused=refused, cautions=row.cautions,
    )  # fmt: skip


def _room(name: str, brought: Mapping[str, float], grams: float, row: object, water: Water) -> float:
    """Grams that the room of one element allows; infinite where nothing bounds it."""
    left = parts.room_mg_l(water).get(name, np.inf)
    cap = parts.PER_DAY.get(name, np.inf)
    return float(min(left, cap) * grams / brought[name])


def _agent(substance: str) -> course.Agent | None:
    row = facts.supplements()[substance]
    if substance in BASES:
        return course.base(Choice(substance, row, True))
    return course.acid(Choice(substance, row, True)) if row.kind == "acid" else None


def _effect(substance: str, grams: float, water: Water, sample: Samples) -> Effect:
    row, agent = facts.supplements()[substance], _agent(substance)
    eq = abs(row.alkalinity_eq_per_g) * grams / water.volume_m3
    if agent is not None:
        return agent.effect(sample, eq)
    per_m3 = grams / water.volume_m3 / 100.0
    return effect(
        sample,
        row.alkalinity_eq_per_g * grams / water.volume_m3,
        0.0,
        p_mg_l=row.p_pct * per_m3,
        ca_mg_l=row.ca_pct * per_m3,
    )


def _most(substance: str, water: Water, sample: Samples) -> float:
    """Most grams of one day within the pH cap."""
    row, agent = facts.supplements()[substance], _agent(substance)
    if agent is not None:
        eq, _ = course.largest(sample, agent.most_meq_l, agent)
        return eq * water.volume_m3 / agent.eq_per_g
    low, high = 0.0, MOST_G
    if allowed(sample, _effect(substance, high, water, sample)):
        return MOST_G
    for _ in range(30):
        middle = 0.5 * (low + high)
        fits = allowed(sample, _effect(substance, middle, water, sample))
        low, high = (middle, high) if fits else (low, middle)
    return low if row.alkalinity_eq_per_g else MOST_G


def _ph(sample: Samples | None, made: Effect | None, when: str) -> Band | None:
    if sample is None or made is None or shown(sample, getattr(made, when), made) is None:
        return None
    return band(getattr(made, when), sample.weights)
