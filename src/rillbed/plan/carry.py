"""What the bacteria can carry on a day: ammonia nitrogen, and the feed that makes as much of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.plan.bands import Band
from rillbed.plan.members import band
from rillbed.plan.rules import CLEAR_MG_L
from rillbed.science.feed import sizing_tan_g_day


@dataclass(frozen=True)
class Carried:
    """What the weaker of both steps of bacteria takes in a day at 20 degC, and the feed by the sizing rule.

    Attributes
    ----------
    load_g_n_day : Band
        Ammonia nitrogen while both stay at `mark_mg_l`, g N/day: what fish can live with, not what a dose can feed.
    mark_mg_l : float
        Ammonia and nitrite that are still low, mg N/L.
    feed_g_day : Band
        Feed that makes as much, g/day.
    protein_pct : float
        Protein of that feed, %.
    """

    load_g_n_day: Band
    mark_mg_l: float
    feed_g_day: Band
    protein_pct: float


def carried(forecast: Forecast, on: date, feed: str | None) -> Carried:
    """Return what the bacteria can carry on a day of the forecast.

    Parameters
    ----------
    forecast : Forecast
    on : date
    feed : str or None
        Id in `facts.feeds()`; None takes a feed of middling protein.

    Raises
    ------
    KeyError
        For an unknown feed.
    """
    protein = facts.choice("feed.protein_pct") if feed is None else facts.feeds()[feed].protein_pct
    steps = (
        forecast.at(column, on) * CLEAR_MG_L / (forecast.params[half] + CLEAR_MG_L)
        for column, half in (("cap_a_g_m3_day", "k_tan"), ("cap_n_g_m3_day", "k_no2"))
    )
    load = np.minimum(*steps) * forecast.at("volume_m3", on)
    return Carried(
        load_g_n_day=band(load, forecast.weights),
        mark_mg_l=CLEAR_MG_L,
        feed_g_day=band(load / float(sizing_tan_g_day(1.0, protein / 100.0)), forecast.weights),
        protein_pct=float(protein),
    )
