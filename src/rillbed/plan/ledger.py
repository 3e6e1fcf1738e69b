"""Nitrogen added to a start-up, dose by dose: what a kit sees at once, and what is still bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import doses, feedings
from rillbed.plan.rules import to_come_mg_l
from rillbed.plan.sources import composition, nitrogen_in


@dataclass(frozen=True)
class Addition:
    """Nitrogen added on a day, mg N/L of the loop; the share a kit sees at once, and the release of the rest."""

    on: date
    mg_l: float
    at_once: float
    release_per_day: float


def load_mg_l(given: Sequence[Addition], day: date) -> float:
    """Ammonia that came free in the 24 hours after a day's dosing, mg N/L: at once, and out of what was bound."""
    total = 0.0
    for item in given:
        ago = (day - item.on).days
        if ago == 0:
            total += item.mg_l * item.at_once
        if ago >= 0:
            left = item.mg_l * (1.0 - item.at_once) * np.exp(-item.release_per_day * ago)
            total += float(left * -np.expm1(-item.release_per_day))
    return total


def additions(system: System, log: Sequence[LogEntry], volume_l: float) -> list[Addition]:
    """Every dose of an ammonia source, and on the fishless path the feed left to rot, oldest first."""
    out = []
    for day, item in doses(system, log):
        nitrogen = nitrogen_in(item)
        if nitrogen > 0.0:
            made_of = composition(item.substance, item.strength_pct)
            out.append(Addition(day, nitrogen / volume_l * 1000.0, made_of.at_once, made_of.release_per_day))
    if system.startup_path == "fishless":
        for day, meal in feedings(system, log):
            made_of = composition("fish_feed", facts.feeds()[meal.feed].protein_pct)
            n_mg_l = meal.grams * made_of.n_share / volume_l * 1000.0
            out.append(Addition(day, n_mg_l, made_of.at_once, made_of.release_per_day))
    return sorted(out, key=lambda item: item.on)


def still_to_come_mg_l(given: Sequence[Addition], on: date) -> float:
    """Nitrogen added and not yet free, mg N/L."""
    slow = [(item.mg_l * (1.0 - item.at_once), (on - item.on).days, item.release_per_day) for item in given]
    return to_come_mg_l(slow)
