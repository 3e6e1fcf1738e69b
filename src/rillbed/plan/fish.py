"""The fish: how big they are and when they are big enough, the days ahead, and kilograms against what binds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.engine.result import Array
from rillbed.garden.chains import effective
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Feeding
from rillbed.garden.spells import spell_on, spells
from rillbed.garden.state import FishGroup, LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Values
from rillbed.plan.bands import Band
from rillbed.plan.feeding import FEED_QUANTILE
from rillbed.plan.look import until
from rillbed.plan.members import band, quantile
from rillbed.plan.spells import carried_back
from rillbed.science.oxygen import saturation_mg_l, station_pressure_atm

WEEK = 7
KG = 1000.0
SOON_DAYS = 56
OFTEN = 0.2  # share of futures that counts as a warning


@dataclass(frozen=True)
class Shoal:
    """One group on a day.

    Attributes
    ----------
    weight_g : Band
        Mean weight of one fish.
    harvest_g : float
        Weight at which the kind is usually eaten.
    ready : (date or None, date or None, date or None)
        When the mean gets there: early, middle and late (10, 50 and 90 % of futures); None beyond the forecast.
    gain_g_day : Band
        Gain of one fish over the week ahead.
    conversion : float or None
        Feed over gain between the first and the last weighing; None without two, or with feed of other groups in it.
    """

    group: str
    species: str
    count: int
    weight_g: Band
    weighed_on: date
    harvest_g: float
    ready: tuple[date | None, date | None, date | None]
    gain_g_day: Band
    conversion: float | None
    died: int
    taken_out: int


@dataclass(frozen=True)
class FishDay:
    """One day ahead: water, feed of all groups together (cautious side of the middle), and what to mind."""

    on: date
    temp_c: Band
    feed_g: float
    notes: tuple[Reason, ...]


@dataclass(frozen=True)
class Kilograms:
    """Mass of all fish on a day against what the oxygen of its worst hour carries, kg."""

    on: date
    fish_kg: Band
    oxygen_kg: float
    short: float  # share of futures in which oxygen falls below what the fish want


@dataclass(frozen=True)
class Fish:
    """The whole answer; `guide_kg` is the careful density and the most, for the fish tanks alone."""

    on: date
    shoals: tuple[Shoal, ...]
    days: tuple[FishDay, ...]
    kilograms: tuple[Kilograms, ...]
    guide_kg: tuple[float, float] | None
    verdict: tuple[Reason, ...]


def fish(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> Fish:
    """Say how the fish stand on a day and where they go.

    Parameters
    ----------
    system, entries
        The loop as first set up, and its log.
    forecast : Forecast
        It must hold `on`; what is said ends with it, or where other fish are to arrive.

    Raises
    ------
    ValueError
        If `on` lies outside the forecast.
    """
    log = until(system, entries, on)
    standing, state = system_at(system, entries, on), state_at(system, log, on)
    groups = [group for group in state.groups.values() if group.count > 0]
    if not groups:
        return Fish(on, (), (), (), None, (Reason("shoal.none", {}),))
    last = _last(standing, forecast, on)
    shoals = tuple(_shoal(group, state, log, forecast, on, last, alone=len(groups) == 1) for group in groups)
    kinds = [facts.species()[group.species] for group in groups]
    want = max(kind.do_min_mg_l for kind in kinds)
    pressure = float(station_pressure_atm(standing.elevation_m))
    weeks = range(forecast.index(on), forecast.index(last) + 1, WEEK)
    kilograms = tuple(_kilograms(forecast, at, want, pressure) for at in weeks)
    volume = standing.fish_tank_volume_m3
    guide = (
        volume * min(kind.density_home_beginner_kg_m3 for kind in kinds),
        volume * min(kind.density_home_max_kg_m3 for kind in kinds),
    )
    told = [entry for entry, _ in spells(log)]
    days = tuple(
        _day(standing, groups, told, forecast, on + timedelta(days=n), state.feed)
        for n in range(min(WEEK, (last - on).days + 1))
    )  # fmt: skip
    over = _over(kilograms, guide[1], sum(shoal.count for shoal in shoals))
    return Fish(on, shoals, days, kilograms, guide, _verdict(on, shoals, over))


def _last(system: System, forecast: Forecast, on: date) -> date:
    """Give the last day that speaks of the fish of today: others move the mean."""
    end = forecast.start + timedelta(days=forecast.days)
    coming = [item.on - timedelta(days=1) for item in system.planned_fish if item.on is not None and item.on > on]
    return max(on, min([end, *coming]))


def _shoal(
    group: FishGroup,
    state: LoopState,
    log: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    last: date,
    *,
    alone: bool,
) -> Shoal:
    species = facts.species()[group.species]
    first, end = forecast.index(on), forecast.index(last)
    # every group grows as the mean of all does, from where it was weighed
    scale = group.weight_g / (state.biomass_g / state.fish_count)
    weight = forecast.columns["fish_weight_g"][first : end + 1].astype(float) * scale
    soon = min(WEEK, len(weight) - 1)
    gain = (weight[soon] - weight[0]) / max(soon, 1)
    return Shoal(
        group=group.name, species=group.species, count=group.count,
        weight_g=band(weight[0], forecast.weights), weighed_on=state.system.day_of(group.weighed_at),
        harvest_g=species.harvest_weight_g, ready=_ready(weight, species.harvest_weight_g, forecast.weights, on),
        gain_g_day=band(gain, forecast.weights),
        conversion=_conversion(state.system, group, log) if alone else None,
        died=group.died, taken_out=group.taken_out,
    )  # fmt: skip


def _ready(weight: Array, harvest_g: float, weights: Array, on: date) -> tuple[date | None, date | None, date | None]:
    """Give the days on which a tenth, half and nine tenths of the futures have got there."""
    share = np.array([weights[row >= harvest_g].sum() for row in np.maximum.accumulate(weight, axis=0)])
    found = []
    for part in (0.1, 0.5, 0.9):
        there = np.flatnonzero(share >= part)
        found.append(on + timedelta(days=int(there[0])) if there.size else None)
    return found[0], found[1], found[2]


def _conversion(system: System, group: FishGroup, log: Sequence[LogEntry]) -> float | None:
    """Feed over gain between the first and the last weighing, as logged; deaths count as lost growth."""
    if len(group.weighings) < 2:
        return None
    first, last = group.weighings[0], group.weighings[-1]
    gain = group.count * (last.weight_g - first.weight_g)
    fed = sum(
        entry.payload.grams
        for entry in effective(log)
        if isinstance(entry.payload, Feeding) and first.at <= entry.at < last.at
    )
    return fed / gain if gain > 0.0 and fed > 0.0 else None


def _day(
    system: System, groups: Sequence[FishGroup], log: Sequence[LogEntry], forecast: Forecast, day: date,
    feed: str | None,
) -> FishDay:  # fmt: skip
    temp = band(forecast.at("temp_c", day), forecast.weights)
    notes: list[Reason] = []
    for name in dict.fromkeys(group.species for group in groups):
        kind = facts.species()[name]
        if temp.middle < kind.temp_feed_stop_low_c:
            notes.append(Reason("shoal.too_cold", {"species": name, "stop_c": kind.temp_feed_stop_low_c}))
        elif temp.high > kind.temp_opt_max_c:
            notes.append(Reason("shoal.warm", {"species": name, "most_c": kind.temp_opt_max_c}))
    for item in system.planned_fish:
        if item.on == day:
            notes.append(Reason("shoal.arrive", {"species": item.species, "count": item.count}))
    fed = quantile(forecast.at("feed_g_day", day).astype(float), forecast.weights, FEED_QUANTILE)
    spell = spell_on(log, day)
    if spell is not None:
        notes.append(Reason("shoal.away", {"name": spell.name, "by": spell.by}))
    carry = carried_back(log, forecast, day, feed)
    if carry is not None and carry < fed:
        fed = carry
        notes.append(Reason("shoal.back", {"carry_g": carry}))
    return FishDay(day, temp, fed, tuple(notes))


def _kilograms(forecast: Forecast, at: int, want_mg_l: float, pressure_atm: float) -> Kilograms:
    """Give mass and what oxygen carries: what is missing to saturation grows with the mass that breathes."""
    mass = forecast.columns["fish_biomass_g"][at].astype(float) / KG
    low = forecast.columns["o2_min_mg_l"][at].astype(float)
    full = np.asarray(saturation_mg_l(forecast.columns["temp_c"][at].astype(float), pressure_atm))
    carried = mass * np.maximum(full - want_mg_l, 0.0) / np.maximum(full - low, 1e-3)
    return Kilograms(
        forecast.start + timedelta(days=at), band(mass, forecast.weights), quantile(carried, forecast.weights, OFTEN),
        float(forecast.weights[low < want_mg_l].sum()),
    )  # fmt: skip


def _over(kilograms: Sequence[Kilograms], most_kg: float, count: int) -> Reason | None:
    """Name the first week in which too much would swim, by oxygen or by density, and how many a week hold it there."""
    for at, week in enumerate(kilograms):
        dense, short = week.fish_kg.middle > most_kg, week.short > OFTEN
        if dense or short:
            grown = kilograms[min(at + 1, len(kilograms) - 1)].fish_kg.middle - week.fish_kg.middle
            one = week.fish_kg.middle / max(count, 1)
            fewer = max(1, ceil(grown / one)) if one > 0.0 else 0
            code = "shoal.over_oxygen" if short else "shoal.over_density"
            values: Values = {"on": week.on.isoformat(), "fewer": fewer, "limit_kg": most_kg, "chance": week.short}
            return Reason(code, values)
    return None


def _verdict(on: date, shoals: Sequence[Shoal], over: Reason | None) -> tuple[Reason, ...]:
    """Sizes, and what comes to bind: first what comes first."""
    sizes = [_size(shoal) for shoal in shoals]
    if over is None:
        return (Reason("shoal.room_left", {}), *sizes)
    soon = date.fromisoformat(str(over.values["on"])) <= on + timedelta(days=SOON_DAYS)
    return (over, *sizes) if soon else (*sizes, over)


def _size(shoal: Shoal) -> Reason:
    low, middle, high = (None if day is None else day.isoformat() for day in shoal.ready)
    values: Values = {
        "group": shoal.group, "species": shoal.species, "harvest_g": shoal.harvest_g, "low": low, "middle": middle,
        "high": high,
    }  # fmt: skip
    if low is not None and low == high:
        return Reason("shoal.big_enough", values)
    if low is not None and high is not None:
        return Reason("shoal.size_between", values)
    if low is not None and middle is not None:
        return Reason("shoal.size_from", values)
    return Reason("shoal.size_later", values)
