"""Room for plants, seen two ways: the element-by-element balance and the trade's feed-rate rule."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, Values
from rillbed.plan.answers import Band, Room
from rillbed.plan.batch import (
    Capacity,
    Element,
    binding,
    capacity,
    draw_of_one,
    grams_to_add,
    largest_batch,
    with_additions,
)
from rillbed.plan.crops import best_in_season, crop_of, life_days, take_up_g_day
from rillbed.plan.feeding import rations
from rillbed.plan.look import until
from rillbed.plan.members import quantile
from rillbed.plan.nutrients import COLUMN, FLOORS

# Feed that has changed by less than this share over four weeks counts as steady.
STEADY_CHANGE = facts.value("plan.steady_change")
YOUNG_DAYS = int(facts.value("plan.young_days"))
PLACES_M2 = facts.value("plants.places_m2")


def room(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    crop: str | None = None,
    confidence: float = 0.8,
    supplemented: frozenset[str] | None = None,
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

    Raises
    ------
    ValueError
        If the crop is unknown, ``confidence`` is not inside 0..1, or the batch outlives the forecast.
    """
    system = system_at(system, entries, on)
    temp = quantile(forecast.at("temp_c", on), forecast.weights, 0.5)
    crop = best_in_season(temp) if crop is None else crop
    row = crop_of(crop)
    days = life_days(row)
    first = forecast.index(on)
    if first + days > forecast.days:
        raise ValueError(f"on = {on}: the forecast ends before a batch of {days} days does")
    rows = slice(first + 1, first + 1 + days)
    volume = forecast.columns["volume_m3"][rows].astype(float)
    elements = {
        name: Element(
            forecast.columns[COLUMN[name]][rows].astype(float),
            draw_of_one(take_up_g_day(row, name), _loss(forecast, name, rows), volume),
            floor,
        )
        for name, floor in FLOORS.items()
    }
    added = on_the_shelf(system) if supplemented is None else supplemented
    limiting = {name: item for name, item in elements.items() if name not in added}
    found = capacity(limiting)
    weights = forecast.weights
    count = largest_batch(found, weights, confidence)
    state = state_at(system, until(system, entries, on), on)
    free = free_places(system, state)
    half = int(min(quantile(found.plants, weights, 0.5), 1e6))
    nitrogen = int(min(quantile(capacity({"n": elements["n"]}).plants, weights, 0.5), 1e6))
    missing, then = ((), 0) if count is None else with_additions(limiting, weights, confidence)
    carried = min(count or 0, free)
    grams = {
        name: grams_to_add(elements[name], carried, volume, weights, confidence) for name in sorted(added & set(FLOORS))
    }
    # The ration this program advises; the members' own where there are no fish yet.
    advised = sum(item.per_day_g for item in rations(system, entries, forecast, on))
    feed = advised if state.fish_count else quantile(forecast.at("feed_g_day", on), weights, 0.5)
    band = facts.feed_rate_bands()[rule_for(row.crop_class)]
    low, high = band.low_g_m2_day, band.high_g_m2_day
    return Room(
        on=on,
        crop=crop,
        confidence=confidence,
        places_m2=row.spacing_default_plants_m2,
        next_batch=count,
        next_batch_half=half,
        nitrogen_half=nitrogen,
        life_days=days,
        steady_m2=steady_m2(forecast, on, row.n_uptake_g_m2_d_mean),
        rule_m2=(feed / high, feed / low),
        rule_band_g_m2_day=(low, high),
        feed_g_day=feed,
        free_plants=free,
        binding=binding(found, weights),
        supplement_g={name: value for name, value in grams.items() if value > 0.0},
        state=maturity(system, forecast, on),
        staged=staged(found, limiting, forecast, on, count, free),
        missing=missing if then else (),
        next_batch_then=then if missing else 0,
        notes=(Reason("note.prior"),),
    )


def _loss(forecast: Forecast, element: str, rows: slice) -> np.ndarray:
    """First-order loss, 1/day: denitrification for nitrate, chelate decay for iron, none counted otherwise."""
    shape = forecast.columns["temp_c"][rows].astype(float)
    if element == "n" and "k_denit" in forecast.params:
        return np.asarray(forecast.params["k_denit"] * facts.value("rate.denitrification_theta") ** (shape - 20.0))
    if element == "fe" and "fe_loss" in forecast.params:
        return np.broadcast_to(forecast.params["fe_loss"], shape.shape)
    # Leaving a loss out makes the draw larger: the cautious side.
    return np.zeros_like(shape)


def on_the_shelf(system: System) -> frozenset[str]:
    """Elements that the supplies on the shelf can bring."""
    table = facts.supplements()
    out = set()
    for item in system.shelf:
        if item in table:
            out |= {name for name in FLOORS if name != "n" and (getattr(table[item], f"{name}_pct", None) or 0.0) > 0.0}
    return frozenset(out)


def rule_for(crop_class: str) -> str:
    """Row of the feed-rate bands for a class of crop."""
    return "fruiting" if crop_class.startswith("fruiting") else "leafy"


def free_places(system: System, state: LoopState) -> int:
    """Places of one lettuce still free on the beds; one place is the space of one lettuce."""
    table = facts.crops()
    used = sum(
        planting.count / table[planting.crop].spacing_default_plants_m2
        for planting in state.plantings.values()
        if planting.standing and planting.bed is not None
    )
    return max(0, int(round(PLACES_M2 * (system.bed_area_m2 - used), 6)))


def steady_m2(forecast: Forecast, on: date, demand_g_m2_day: float) -> Band:
    """Area that nitrogen keeps planted for good: nitrate made in the week, without what gas takes, over demand."""
    last = forecast.index(on)
    week = slice(max(1, last - 6), last + 1)
    supply = (forecast.columns["n_nitrified"][week] - forecast.columns["n_gas"][week]).mean(axis=0)
    area = np.maximum(supply.astype(float), 0.0) / demand_g_m2_day
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


def staged(
    found: Capacity, limiting: dict[str, Element], forecast: Forecast, on: date, count: int | None, free: int
) -> Reason | None:
    """Stage the planting by nitrate, only where nitrogen is what binds and nitrate is on its way up.

    x is half as much again as nitrate now; the dates are when the members first pass it.
    """
    if count is None or count >= free or "n" not in limiting:
        return None
    by_n = float((found.which == found.limits.index("n")).mean())
    now = quantile(forecast.at("no3_mg_l", on), forecast.weights, 0.5)
    mark = max(5.0, float(np.ceil(1.5 * now / 5.0) * 5.0))
    path = forecast.columns["no3_mg_l"][forecast.index(on) + 1 :]
    reached = (path >= mark).any(axis=0)
    if by_n < 0.5 or reached.mean() < 0.8:
        return None
    first = np.where(reached, (path >= mark).argmax(axis=0) + 1.0, np.inf)
    low, high = (quantile(first, forecast.weights, q) for q in (0.1, 0.8))
    # The extra store in the water, shared out by one plant's draw over its life.
    draw = float(np.median(limiting["n"].draw[-1]))
    more = min(free - count, int(max(0.0, mark - now) / draw)) if draw > 0 else 0
    if more < 1 or not np.isfinite(high):
        return None
    dates = {key: (on + timedelta(days=int(value))).isoformat() for key, value in (("low", low), ("high", high))}
    return Reason("room.staged", {"now": count, "more": more, "mark": mark, **dates})


def room_reasons(answer: Room) -> tuple[Reason, ...]:
    """Argument of a room answer, in reading order."""
    count = 0 if answer.next_batch is None else answer.next_batch
    out = [
        Reason(
            "room.next" if count else "room.next_none",
            {"share": answer.confidence, "count": count, "crop": answer.crop, "days": answer.life_days},
        ),
        Reason("room.half", {"count": answer.next_batch_half, "nitrogen": answer.nitrogen_half}),
    ]
    if answer.next_batch is None:
        out[0] = Reason("room.few_members")
    if answer.binding:
        top = answer.binding[0]
        out.append(Reason("room.binds", {"limit": top.limit, "chance": top.chance, "days": top.day}))
    if answer.missing:
        then: Values = {"elements": answer.missing, "count": answer.next_batch_then, "crop": answer.crop}
        out.append(Reason("room.then", then))
    if answer.instead:
        crops = tuple(crop for crop, _ in answer.instead)
        out.append(Reason("room.instead", {"crops": crops, "counts": tuple(count for _, count in answer.instead)}))
    low, high = answer.rule_band_g_m2_day
    rule = {"low": low, "high": high, "m2_low": answer.rule_m2[0], "m2_high": answer.rule_m2[1]}
    out.append(Reason("room.rule", rule))
    out.append(Reason("room.steady", {"low": answer.steady_m2.low, "high": answer.steady_m2.high}))
    out.append(Reason(f"room.state.{answer.state}"))
    out.append(Reason("room.full", {"places": answer.free_plants}))
    out += [Reason("room.supplement", {"element": name, "grams": g}) for name, g in answer.supplement_g.items()]
    return (*out, *((answer.staged,) if answer.staged else ()), *answer.notes)


def plantable(answer: Room) -> int:
    """Plants that may go in and find a place: now, or once what is missing is added."""
    return min(answer.next_batch or answer.next_batch_then, answer.free_plants)


def room_title(answer: Room) -> Reason:
    """Say what the room comes to, in one line."""
    values: Values = {"count": plantable(answer), "crop": answer.crop, "elements": answer.missing}
    if not values["count"]:
        return Reason("room.title_none")
    return Reason("room.title" if answer.next_batch else "room.title_then", values)


def plant_advice(answer: Room) -> Advice:
    """Plant now, or nothing more yet, with the argument of both views."""
    count = min(answer.next_batch or 0, answer.free_plants)
    reasons = room_reasons(answer)
    later = min(answer.next_batch_then, answer.free_plants)
    if count < 1 and later >= 1:
        params: Values = {"elements": answer.missing, "count": later, "crop": answer.crop}
        return Advice("plant.after", "wait", params=params, reasons=reasons, urgency=Urgency.PLANTS)
    if count < 1:
        return Advice("plant.none", "wait", reasons=reasons, urgency=Urgency.PLANTS)
    return Advice(
        "plant.batch",
        "plant",
        params={"count": count, "crop": answer.crop},
        reasons=reasons,
        formula="room.chance",
        facts=(f"crops/{answer.crop}",),
        urgency=Urgency.PLANTS,
    )
