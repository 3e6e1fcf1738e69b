"""A day's dose as parts: hours, water to dissolve it in, what else it brings, and the first of its cautions."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rillbed import facts
from rillbed.facts.records import Supplement
from rillbed.plan.advice import Reason
from rillbed.plan.doses.answer import Step
from rillbed.plan.doses.water import Water

FIRST_HOUR = 8
HOURS_BETWEEN = int(facts.value("dosing.hours_between"))
ELEMENTS = ("na", "k", "ca", "mg", "cl", "s", "p", "fe")
# Caps on one day, by element, mg/L.
PER_DAY = {name: facts.value(f"dosing.{name}") for name in ("k", "ca", "mg", "p", "fe")}


def brings(row: Supplement, grams: float, volume_m3: float) -> dict[str, float]:
    """Give what some grams bring, mg/L by element; nothing that is nothing."""
    shares = {name: float(getattr(row, f"{name}_pct")) / 100.0 for name in ELEMENTS}
    return {name: part * grams / volume_m3 for name, part in shares.items() if part > 0.0}


def dissolve_l(row: Supplement, grams: float, *, strong: bool) -> float:
    """Water to dissolve a part in, L: well under its solubility, and a hundredfold for what is strong."""
    folds = [0.1]
    if row.solubility_g_l is not None:
        folds.append(grams / (row.solubility_g_l * facts.value("dosing.dissolve_share")))
    if strong:
        folds.append(grams * facts.value("dosing.dilute_fold") / 1000.0)
    # A bucket holds ten litres: beyond it what does not dissolve goes in as a slurry.
    most = max(10.0, folds[-1]) if strong else max(10.0, min(folds[-1], 20.0))
    return float(np.ceil(min(max(folds), most) * 10.0) / 10.0)


def split(step: Step, parts: int) -> list[Step]:
    """One day's dose in equal parts, hours apart."""
    water = None if step.dissolve_l is None else step.dissolve_l / parts
    return [
        replace(
            step,
            hour=step.hour + n * HOURS_BETWEEN,
            amount=step.amount / parts,
            dissolve_l=water,
            adds_mg_l={name: value / parts for name, value in step.adds_mg_l.items()},
            notes=(*step.notes, Reason("doses.part", {"part": n + 1, "parts": parts})) if parts > 1 else step.notes,
        )
        for n in range(parts)
    ]


def largest_by_elements(row: Supplement, volume_m3: float, room_mg_l: dict[str, float]) -> float:
    """Most grams in one day that stay within the caps of its elements and the room that is left for others."""
    grams = [np.inf]
    for name in ELEMENTS:
        part = float(getattr(row, f"{name}_pct")) / 100.0
        if part > 0.0:
            grams += [
                limit * volume_m3 / part for limit in (PER_DAY.get(name), room_mg_l.get(name)) if limit is not None
            ]
    return float(max(0.0, min(grams)))


def room_mg_l(water: Water) -> dict[str, float]:
    """Room left for what stays in the loop and harms plants, mg/L; nothing to heed where nothing grows."""
    if not water.planted:
        return {}
    room = {}
    for name, unread in (("na", "na_mg_l"), ("cl", "cl_mg_l"), ("s", "so4_s_mg_l")):
        ceiling = facts.water_limits()[f"{name}_plants"].high
        assert ceiling is not None
        high = water.high(name)
        room[name] = max(0.0, ceiling - (facts.choice(f"source_water.{unread}") if high is None else high))
    return room
