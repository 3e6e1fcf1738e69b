"""Room for plants through the coming year, a week at a time: next batch, steady area, and the full beds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.errors import GardenError, one_of
from rillbed.garden.system import System
from rillbed.plan.batch import Element, binding, capacity, largest_batch
from rillbed.plan.beds.behaviour import course, picking_days
from rillbed.plan.beds.draws import drawn_g, losses
from rillbed.plan.beds.site import Seasons
from rillbed.plan.members import quantile
from rillbed.plan.nutrients import COLUMN, FLOORS
from rillbed.plan.stages import nitrogen_area_m2
from rillbed.tongue import tr

Floats = NDArray[np.float64]
WEEK = 7


@dataclass(frozen=True)
class RoomWeek:
    """Room of one week, in m2 of the crop or mix.

    Attributes
    ----------
    next_m2 : float or None
        Area that one batch set out now keeps fed over its whole life; None with too few members to tell.
    with_m2 : mapping of element to float or None
        The same with that element kept in stock besides those named.
    steady_m2 : float
        Area that nitrogen keeps planted for good at this week's feed.
    feed_g_day : float
        Feed of a day in this week, in the middle of the futures.
    rule_m2 : (float, float)
        Area by the feed-rate band, low and high end.
    binding : str or None
        Element that binds most often.
    refused : tuple of str
        Crops of the mix that cannot be set out in this week.
    """

    start: date
    next_m2: float | None
    with_m2: Mapping[str, float | None]
    steady_m2: float
    feed_g_day: float
    rule_m2: tuple[float, float]
    full_m2: float
    binding: str | None
    refused: tuple[str, ...]


def room_by_week(
    system: System,
    forecast: Forecast,
    on: date,
    mix: Mapping[str, float],
    *,
    confidence: float = 0.8,
    supplemented: frozenset[str] = frozenset(),
    band: str = "leafy",
    every: int = 4,
) -> tuple[RoomWeek, ...]:
    """Room from ``on`` as far as a whole batch fits into the forecast.

    Parameters
    ----------
    forecast : Forecast
        Without new plantings, as far ahead as wanted.
    mix : mapping of crop to share
        Area of each crop in one square metre; shares sum to 1 whatever is given.
    supplemented : frozenset of str
        Elements kept in stock.
    band : str
        Row of `facts.feed_rate_bands()`.
    every : int
        Weeks from one answer to the next, 1 or more.

    Raises
    ------
    GardenError
        For a crop, band or share that cannot be, or nothing left to limit.
    """
    _check(mix, band, supplemented)
    total = sum(mix.values())
    per_m2 = {c: share / total * facts.crops()[c].spacing_default_plants_m2 for c, share in mix.items()}
    life = -(-max(picking_days(facts.crops()[c])[-1] for c in mix) // WEEK)
    weeks = (forecast.days + 1 - forecast.index(on)) // WEEK
    starts = range(0, weeks - life + 1, every)
    limiting = tuple(e for e in FLOORS if e not in supplemented)
    draws = _draws(system, forecast, on, per_m2, weeks, tuple(starts), limiting)
    seasons, rule = Seasons(system), facts.feed_rate_bands()[band]
    demand = sum(
        n / facts.crops()[c].spacing_default_plants_m2 * facts.crops()[c].n_uptake_g_m2_d_mean
        for c, n in per_m2.items()
    )
    pools = {e: _pool_g(forecast, on, weeks, e) for e in limiting}
    out = []
    for i, week in enumerate(starts):
        start = on + timedelta(days=WEEK * week)
        over = slice(week, week + life)
        batch = {e: Element(pools[e][over], draws[e][i, over].astype(float), 0.0) for e in limiting}
        at = forecast.index(start)
        feed = quantile(forecast.columns["feed_g_day"][at], forecast.weights, 0.5)
        area = nitrogen_area_m2(forecast, at, demand)
        tight = binding(capacity(batch), forecast.weights)
        out.append(
            RoomWeek(
                start=start,
                next_m2=_carried(batch, forecast.weights, confidence),
                with_m2={
                    e: _carried({k: v for k, v in batch.items() if k != e}, forecast.weights, confidence)
                    for e in limiting
                    if e != "n" and len(batch) > 1
                },
                steady_m2=quantile(area, forecast.weights, 1.0 - confidence),
                feed_g_day=feed,
                rule_m2=(feed / rule.high_g_m2_day, feed / rule.low_g_m2_day),
                full_m2=system.bed_area_m2,
                binding=tight[0].limit if tight else None,
                refused=tuple(
                    c for c in mix if seasons.refusal(facts.crops()[c], start, picking_days(facts.crops()[c])[-1])
                ),
            )
        )
    return tuple(out)


def _check(mix: Mapping[str, float], band: str, supplemented: frozenset[str]) -> None:
    if not mix or any(not 0.0 < share < np.inf for share in mix.values()):
        raise GardenError("mix", dict(mix), tr("needs crops, each with a share of the area above 0"))
    for crop in mix:
        if crop not in facts.crops():
            raise GardenError("mix", crop, tr("must be a crop of the crop table"))
    if band not in facts.feed_rate_bands():
        raise GardenError("band", band, one_of(facts.feed_rate_bands()))
    if not set(FLOORS) - supplemented:
        raise GardenError("supplemented", ", ".join(sorted(supplemented)), tr("must leave an element that limits"))


def _draws(
    system: System,
    ahead: Forecast,
    on: date,
    per_m2: Mapping[str, float],
    weeks: int,
    starts: Sequence[int],
    elements: Sequence[str],
) -> dict[str, Floats]:
    dates, offsets = [on + timedelta(days=WEEK * w) for w in starts], [WEEK * w for w in starts]
    out: dict[str, Floats] = {}
    for crop, plants in per_m2.items():
        grown = course(system, facts.crops()[crop], dates, ahead.params, elements)
        for e in elements:
            one = plants * drawn_g(grown, offsets, losses(ahead, on, WEEK * weeks, e), e)
            out[e] = out[e] + one if e in out else one
    return out


def _pool_g(ahead: Forecast, on: date, weeks: int, element: str) -> Floats:
    first = ahead.index(on)
    rows = slice(first, first + WEEK * weeks)
    pool = ahead.columns[COLUMN[element]][rows].astype(float) - FLOORS[element]
    grams = pool * ahead.columns["volume_m3"][rows].astype(float)
    return np.asarray(grams.reshape(weeks, WEEK, -1).min(axis=1))


def _carried(batch: Mapping[str, Element], weights: Floats, confidence: float) -> float | None:
    # A hundredth of a square metre is what counts here, so it is what is counted in.
    fine = {e: Element(item.pool, item.draw / 100.0, item.floor) for e, item in batch.items()}
    found = largest_batch(capacity(fine), weights, confidence)
    return None if found is None else found / 100.0
