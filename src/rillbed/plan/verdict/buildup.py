"""What topping up leaves behind: water goes as vapour, its salts stay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.system import System
from rillbed.plan.answers import Band
from rillbed.plan.members import band, date_quantile, quantile, share

MONTH = facts.value("source.month")
# Salts without a way out of a loop but draining, or with one too small; what plants bear of each in source water.
SALTS = {"na": "na_plants", "cl": "cl_plants", "ca": "ca_plants", "s": "s_plants"}


@dataclass(frozen=True)
class BuildUp:
    """One salt over the months ahead.

    Attributes
    ----------
    element : str
        na, cl, ca, s (mg/L) or hardness (meq/L).
    known : bool
        Whether the source's share is known; a stand-in speaks otherwise.
    source, per_month : float
        What the source holds, and what a month of topping up leaves in the water.
    now, later : Band
        Today and at the end of the forecast, plants' and other uses counted.
    limit : float or None
        What plants bear.
    reached : tuple of date or None
        Day by which 10, 50 and 90 % of the members pass the limit.
    chance : float
        Share of the members that pass it within the forecast.
    drain_l_day : float or None
        Water to drain and replace a day so that topping up alone never passes the limit; ``None`` where it never
        would or where the source itself is over it.
    """

    element: str
    known: bool
    source: float
    per_month: float
    now: Band
    later: Band
    limit: float | None
    reached: tuple[date | None, date | None, date | None]
    chance: float
    drain_l_day: float | None


def drain_l_day(topup_l_day: float, source: float, limit: float) -> float | None:
    """Water to drain a day so that a salt levels off at the limit; ``None`` if the source is over it already.

    Notes
    -----
    Derived: in balance ``(topup + drain) * source = drain * limit``, top-up replacing vapour alone.

    Examples
    --------
    >>> drain_l_day(10.0, 25.0, 50.0)
    10.0
    """
    if source >= limit:
        return None
    return topup_l_day * source / (limit - source)


def build_up(
    system: System, forecast: Forecast, on: date, values: Mapping[str, tuple[float, float]]
) -> tuple[BuildUp, ...]:
    """Follow each salt from ``on`` to the end of the forecast; ``values`` is what is known of the source by code."""
    first = forecast.index(on)
    weights = forecast.weights
    topup = quantile(forecast.columns["topup_l_day"][first + 1 :].astype(float).mean(axis=0), weights, 0.5)
    litres = 1000.0 * quantile(forecast.at("volume_m3", on), weights, 0.5)
    out = []
    for element, row in SALTS.items():
        table = forecast.columns[f"{element}_mg_l"][first:].astype(np.float64)
        limit = facts.water_limits()[row].high
        assert limit is not None
        source = _source(system, element, values)
        over = table > limit
        ever = over.any(axis=0)
        day = np.where(ever, over.argmax(axis=0).astype(float), np.nan)
        reached = tuple(date_quantile(day, weights, on, q) for q in (0.1, 0.5, 0.9))
        out.append(
            BuildUp(
                element=element,
                known=element in values,
                source=source,
                per_month=topup * MONTH * source / litres,
                now=band(table[0], weights),
                later=band(table[-1], weights),
                limit=limit,
                reached=(reached[0], reached[1], reached[2]),
                chance=share(ever, weights),
                drain_l_day=drain_l_day(topup, source, limit),
            )
        )
    return tuple(out)


def end_of(forecast: Forecast) -> date:
    """Last day of a forecast."""
    return forecast.start + timedelta(days=forecast.days)


def _source(system: System, element: str, values: Mapping[str, tuple[float, float]]) -> float:
    if element in values and np.isfinite(values[element][1]):
        return values[element][1]
    field = "so4_s_mg_l" if element == "s" else f"{element}_mg_l"
    return facts.choice(f"source_water.{field}")
