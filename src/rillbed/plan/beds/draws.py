"""What plants of a crop draw from the water of every member, week by week, and what is there to draw.

Grams in the whole loop: an element's store above its floor, without the plan, against what one plant set out in a
given week has taken of it, less what would have been lost anyway.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast, Future
from rillbed.facts.living import Crop
from rillbed.fit import Posterior, forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import rules_ahead
from rillbed.plan.beds.behaviour import Course, course
from rillbed.plan.nutrients import COLUMN, FLOORS

Floats = NDArray[np.float64]
WEEK = 7
# A base of sodium: what it is made of limits no plant, so no plan counts on base that its own nitrate uptake spares.
NEUTRAL_BASE = "na"


def budget_future(system: System, entries: Sequence[LogEntry], on: date) -> Future:
    """Rules under which a plan's budgets are reckoned: what grows is not planted again, base brings nothing to eat."""
    return replace(rules_ahead(system, entries, on), replant=False, base_element=NEUTRAL_BASE)


def budget_ahead(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    posterior: Posterior,
    horizon_days: int = 365,
    members: int = 200,
) -> Forecast:
    """Forecast under `budget_future`, by the members that the log believes; what `plan_beds` plans on."""
    return forecast(
        system, entries, on=on, horizon_days=horizon_days, members=members, posterior=posterior,
        future=budget_future(system, entries, on),
    )  # fmt: skip


def stores_g(ahead: Forecast, on: date, weeks: int, element: str) -> Floats:
    """Least of an element above its floor in each week, in the whole loop, g, (weeks, members); never under 0."""
    first = ahead.index(on)
    rows = slice(first, first + WEEK * weeks)
    pool = ahead.columns[COLUMN[element]][rows].astype(float) - FLOORS[element]
    grams = pool * ahead.columns["volume_m3"][rows].astype(float)
    return np.asarray(np.maximum(grams.reshape(weeks, WEEK, -1).min(axis=1), 0.0))


def losses(ahead: Forecast, on: date, days: int, element: str) -> Floats:
    """Share of a store that is lost anyway each day, 1/day, (days, members): gas for nitrate, dropping out for iron.

    Other losses are left out, which makes every draw larger: the cautious side.
    """
    first = ahead.index(on)
    temp = ahead.columns["temp_c"][first : first + days].astype(float)
    if element == "n" and "k_denit" in ahead.params:
        return np.asarray(ahead.params["k_denit"] * facts.value("rate.denitrification_theta") ** (temp - 20.0))
    if element == "fe" and "fe_loss" in ahead.params:
        return np.broadcast_to(ahead.params["fe_loss"], temp.shape)
    return np.zeros_like(temp)


def drawn_g(grown: Course, offsets: Sequence[int], loss: Floats, element: str) -> Floats:
    """Draw of one plant at the worst of each week, g, (starts, weeks, members).

    Parameters
    ----------
    offsets : sequence of int
        Days from the first day of the plan to each start of `grown`.
    loss : (days, members)
        As `losses`; days are whole weeks.
    """
    uptake = grown.uptake_g[element]
    days, members = loss.shape
    taken = np.zeros((len(offsets), members))
    out = np.zeros((len(offsets), days // WEEK, members), dtype=np.float32)
    kept = np.exp(-loss)
    for day in range(days):
        taken = taken * kept[day]
        for i, first in enumerate(offsets):
            age = day - first
            if 0 <= age < uptake.shape[1]:
                taken[i] += uptake[i, age]
        out[:, day // WEEK] = np.maximum(out[:, day // WEEK], taken)
    return out


def draws(
    system: System,
    ahead: Forecast,
    crop: Crop,
    on: date,
    weeks: int,
    starts: Sequence[int],
    elements: Sequence[str],
) -> tuple[Mapping[str, Floats], Floats]:
    """Draws by element of one plant set out in each of the start weeks, and its growth there, (starts,)."""
    dates = [on + timedelta(days=WEEK * week) for week in starts]
    grown = course(system, crop, dates, ahead.params, elements)
    offsets = [WEEK * week for week in starts]
    found = {e: drawn_g(grown, offsets, losses(ahead, on, WEEK * weeks, e), e) for e in elements}
    return found, grown.growth
