"""A trace salt in an amount no kitchen scale can weigh: a stock solution, and how much of it goes in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.elements.ceilings import TRACES
from rillbed.plan.elements.clues import RECENT_DAYS
from rillbed.plan.look import doses, until
from rillbed.plan.members import quantile

SUPPLY = {"mn": "manganese_sulfate", "b": "boric_acid", "mo": "sodium_molybdate"}
STOCK_L = 1.0


@dataclass(frozen=True)
class Trace:
    """One dose of one trace salt.

    Attributes
    ----------
    element, supply : str
        What it is for, and what is used.
    rise_mg_l : float
        Rise in the water.
    grams : float
        Salt that goes in.
    stock_g, stock_l, stock_ml : float
        So many grams dissolved in so many litres, of which so many millilitres go in.
    owned : bool
        Whether it stands on the shelf.
    """

    element: str
    supply: str
    rise_mg_l: float
    grams: float
    stock_g: float
    stock_l: float
    stock_ml: float
    owned: bool


def trace(element: str, system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> Trace | None:
    """Size one dose; ``None`` where one was given in the last thirty days, as no home kit reads what is left of it.

    Raises
    ------
    ValueError
        For an element that is never dosed, or is no trace.
    """
    if element not in SUPPLY:
        raise ValueError(f"element = {element!r}: must be one of {', '.join(SUPPLY)}; others are never dosed")
    name = SUPPLY[element]
    given = [day for day, item in doses(system, until(system, entries, on)) if item.substance == name]
    if given and (on - given[-1]).days < RECENT_DAYS:
        return None
    share = float(getattr(facts.supplements()[name], f"{element}_pct")) / 100.0
    # The smaller of the plausible volumes, so that the rise stays within its cap.
    volume = quantile(forecast.at("volume_m3", on), forecast.weights, 0.2)
    grams = TRACES[element] * volume / share
    stock = max(5.0, 10.0 * facts.value("dosing.least_grams"))
    return Trace(
        element, name, TRACES[element], grams, stock, STOCK_L, grams / stock * STOCK_L * 1e3, name in system.shelf
    )
