"""Room for plants, seen two ways: the element-by-element balance and the trade's feed-rate rule."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.engine.pack import feed_of
from rillbed.facts.living import Crop
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band, Room
from rillbed.plan.batch import binding, capacity, grams_to_add, largest_batch, with_additions
from rillbed.plan.crops import bed_kinds, best_in_season, coming_air_c, crop_of, life_days, take_up_g_day
from rillbed.plan.cycling import YOUNG_DAYS, challenge_passed, is_starting
from rillbed.plan.feeding import rations
from rillbed.plan.learned import Learned, basis_note
from rillbed.plan.ledger import additions
from rillbed.plan.look import latest, until
from rillbed.plan.members import quantile
from rillbed.plan.nutrients import COLUMN, FLOORS
from rillbed.plan.shelf import BRINGERS
from rillbed.plan.stages import Supply, nitrogen_area_m2, outgrown, staged
from rillbed.science.feed import nitrogen_g

# Feed that has changed by less than this share over four weeks counts as steady.
STEADY_CHANGE = facts.value("plan.steady_change")

NITRATE_DAYS = int(facts.value("plan.no3_days"))


def room(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    crop: str | None = None,
    confidence: float = 0.8,
    supplemented: frozenset[str] | None = None,
    known: Learned | None = None,
) -> Room:
    """How many more plants of one crop the loop carries from ``on``.

    Parameters
    ----------
    crop : str or None
        Crop id; ``None`` picks the easiest in season.
    confidence : float
        Share of the members that must carry the batch to its end.
    supplemented : frozenset of str or None
        Elements that will be added as needed and so do not limit; ``None``: those the shelf can bring.
    known : Learned, optional
        What the fit behind the forecast says of itself.

    Raises
    ------
    ValueError
        If the crop is unknown, ``confidence`` is not inside 0..1, or the batch outlives the forecast.
    """
    system = system_at(system, entries, on)
    crop = best_in_season(coming_air_c(system, on), bed_kinds(system)) if crop is None else crop
    row = crop_of(crop)
    days = life_days(row)
    first = forecast.index(on)
    if first + days > forecast.days:
        raise ValueError(f"on = {on}: the forecast ends before a batch of {days} days does")
    supplies = {name: _supply(forecast, row, name, first + 1) for name in FLOORS}
    now = np.zeros(forecast.members, dtype=int)
    elements = {name: supply.over(now, 0) for name, supply in supplies.items()}
    added = on_the_shelf(system) if supplemented is None else supplemented
    limiting = {name: item for name, item in elements.items() if name not in added}
    found = capacity(limiting)
    weights = forecast.weights
    count = largest_batch(found, weights, confidence)
    log = until(system, entries, on)
    state = state_at(system, log, on)
    free = free_plants(system, state, row.spacing_default_plants_m2)
    half = int(min(quantile(found.plants, weights, 0.5), 1e6))
    nitrogen = int(min(quantile(capacity({"n": elements["n"]}).plants, weights, 0.5), 1e6))
    missing, then = ((), 0) if count is None else with_additions(limiting, weights, confidence)
    carried = min(count or 0, free)
    volume = supplies["n"].volume[:days]
    grams = {
        name: grams_to_add(elements[name], carried, volume, weights, confidence) for name in sorted(added & set(FLOORS))
    }
    # What is missing is added before anything is planted.
    first_batch = carried if carried or not then else min(then, free)
    later = {name: supply for name, supply in supplies.items() if name not in added | set(missing if then else ())}
    # The ration this program advises; the members' own where there are no fish yet.
    advised = sum(item.per_day_g for item in rations(system, entries, forecast, on))
    feed = advised if state.fish_count else quantile(forecast.at("feed_g_day", on), weights, 0.5)
    band = facts.feed_rate_bands()[rule_for(row.crop_class)]
    low, high = band.low_g_m2_day, band.high_g_m2_day
    demand = row.n_uptake_g_m2_d_mean
    in_feed = tuple(float(nitrogen_g(grams, feed_of(system.feed).protein)) for grams in (low, high))
    not_ready = _not_ready(system, log, state, volume)
    # Nitrate alone releases no planting while the bacteria have not proved themselves.
    more = None
    if not not_ready:
        read = _nitrate(system, log, on)
        more = staged(system, forecast, on, later, count=first_batch, free=free, certainty=confidence, read_mg_l=read)
    return Room(
        on=on,
        crop=crop,
        confidence=confidence,
        places_m2=row.spacing_default_plants_m2,
        next_batch=count,
        next_batch_half=half,
        nitrogen_half=nitrogen,
        life_days=days,
        steady_m2=steady_m2(forecast, on, demand),
        rule_m2=(feed / high, feed / low),
        rule_band_g_m2_day=(low, high),
        feed_g_day=feed,
        free_plants=free,
        binding=binding(found, weights),
        supplement_g={name: value for name, value in grams.items() if value > 0.0},
        state=maturity(system, forecast, on),
        staged=more,
        outgrown=outgrown(forecast, on, system.bed_area_m2, demand, confidence),
        rule_n_g_m2_day=(in_feed[0], in_feed[1]),
        demand_n_g_m2_day=demand,
        missing=missing if then else (),
        next_batch_then=then if missing else 0,
        notes=(*((Reason("note.starting"),) if not_ready else ()), basis_note(known)),
    )


def _supply(forecast: Forecast, row: Crop, element: str, first: int) -> Supply:
    """One element from row ``first`` to the horizon, and what one plant of the members takes of it."""
    names = ("dm_gain", "n_lux") if element == "n" else ("dm_gain",)
    factor = np.prod([forecast.params[name] for name in names if name in forecast.params], axis=0)
    return Supply(
        pool=forecast.columns[COLUMN[element]][first:].astype(float),
        loss=_loss(forecast, element, first),
        volume=forecast.columns["volume_m3"][first:].astype(float),
        uptake=take_up_g_day(row, element) * factor,
        floor=FLOORS[element],
    )


def _not_ready(system: System, log: Sequence[LogEntry], state: LoopState, volume_m3: np.ndarray) -> bool:
    """Whether bacteria are still being grown and have not proved themselves."""
    if not is_starting(system, state):
        return False
    return not challenge_passed(system, log, additions(system, log, 1000.0 * float(np.median(volume_m3[0]))))


def _nitrate(system: System, log: Sequence[LogEntry], on: date) -> float | None:
    """Lower end of a nitrate reading that is not overdue, mg/L as N."""
    seen = latest(system, log, "no3")
    return seen.low if seen is not None and (on - seen.on).days <= NITRATE_DAYS else None


def _loss(forecast: Forecast, element: str, first: int) -> np.ndarray:
    """First-order loss, 1/day: denitrification for nitrate, chelate decay for iron, none counted otherwise."""
    shape = forecast.columns["temp_c"][first:].astype(float)
    if element == "n" and "k_denit" in forecast.params:
        return np.asarray(forecast.params["k_denit"] * facts.value("rate.denitrification_theta") ** (shape - 20.0))
    if element == "fe" and "fe_loss" in forecast.params:
        return np.broadcast_to(forecast.params["fe_loss"], shape.shape)
    # Leaving a loss out makes the draw larger: the cautious side.
    return np.zeros_like(shape)


def on_the_shelf(system: System) -> frozenset[str]:
    """Elements that a supply on the shelf is meant to bring; a trace in something else does not count."""
    return frozenset(name for name, wanted in BRINGERS.items() if set(wanted) & set(system.shelf))


def rule_for(crop_class: str) -> str:
    """Row of the feed-rate bands for a class of crop."""
    return "fruiting" if crop_class.startswith("fruiting") else "leafy"


def free_plants(system: System, state: LoopState, plants_m2: float) -> int:
    """Plants at so many a square metre that still find a place on the beds."""
    table = facts.crops()
    used = sum(
        planting.count / table[planting.crop].spacing_default_plants_m2
        for planting in state.plantings.values()
        if planting.standing and planting.bed is not None
    )
    return max(0, int(round(plants_m2 * (system.bed_area_m2 - used), 6)))


def steady_m2(forecast: Forecast, on: date, demand_g_m2_day: float) -> Band:
    """Area that nitrogen keeps planted for good: nitrate made in the week, without what gas takes, over demand."""
    area = nitrogen_area_m2(forecast, forecast.index(on), demand_g_m2_day)
    low, middle, high = (quantile(area, forecast.weights, q) for q in (0.2, 0.5, 0.8))
    return Band(low, middle, high)


def maturity(system: System, forecast: Forecast, on: date) -> str:
    """State in which the two views are to be read: young, ramping or steady."""
    if (on - system.started_on).days < YOUNG_DAYS:
        return "young"
    now = quantile(forecast.at("feed_g_day", on), forecast.weights, 0.5)
    at = min(forecast.index(on) + 28, forecast.days)
    later = quantile(forecast.columns["feed_g_day"][at], forecast.weights, 0.5)
    return "steady" if now > 0 and abs(later / now - 1.0) <= STEADY_CHANGE else "ramping"
