"""What the log, the water, the weather and the members say beside a leaf: each clue with its figures and its weight."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.engine.calendar import monthly
from rillbed.engine.climate import climate_of
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spray
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.elements.short import course
from rillbed.plan.look import doses, latest, until
from rillbed.plan.members import quantile, share
from rillbed.plan.nutrients import FLOORS, QUANTITY, STALE_DAYS

# A clue that only the members give counts for half: its likelihood under a root.
READ, RECKONED = 1.0, 0.5
# Share of the members that must agree.
AGREE = 0.8
RECENT_DAYS = 30
# Hardness that tells hard source water from soft, mg/L of calcium.
SOFT_CA, HARD_CA = facts.value("plants.room_floor_ca"), facts.value("plants.hard_ca")
SULFUR_SHORT = facts.value("plants.s_short")


@dataclass(frozen=True)
class Clue:
    """One thing known: its code, how much it counts (1 read or logged, 0.5 reckoned), and its figures."""

    code: str
    weight: float
    reason: Reason


class _Add(Protocol):
    def __call__(self, code: str, weight: float, **values: float | str) -> None: ...


def clues(
    system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date, crop: str | None = None
) -> Mapping[str, Clue]:
    """Everything known on a day that can speak for or against a cause, by code."""
    log = until(system, entries, on)
    found: dict[str, Clue] = {}

    def add(code: str, weight: float, **values: float | str) -> None:
        found[code] = Clue(code, weight, Reason(f"clue.{code}", {**values}))

    _elements(system, log, forecast, on, add)
    _waters(system, log, forecast, on, add)
    _weather(system, log, forecast, on, add)
    _done(system, entries, log, on, crop, add)
    return found


def _elements(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, add: _Add) -> None:
    for element, floor in FLOORS.items():
        seen = latest(system, log, QUANTITY[element])
        fresh = seen is not None and 0 <= (on - seen.on).days <= STALE_DAYS
        if fresh and seen is not None and seen.high is not None and seen.high < floor:
            add(f"{element}_short", READ, element=element, value=seen.high, mark=floor)
        elif fresh and seen is not None and seen.low is not None and seen.low >= floor:
            add(f"{element}_fair", READ, element=element, value=seen.low, mark=floor)
        else:
            now = course(system, log, forecast, on, element)[0]
            chance = share(now < floor, forecast.weights)
            middle = quantile(now, forecast.weights, 0.5)
            if chance >= AGREE:
                add(f"{element}_short", RECKONED, element=element, value=middle, mark=floor)
            elif chance <= 1.0 - AGREE:
                add(f"{element}_fair", RECKONED, element=element, value=middle, mark=floor)
    high = facts.water_limits()["no3_target"].high
    nitrate, weight = _value("no3", "no3_mg_l", system, log, forecast, on)
    if high is not None and nitrate > high:
        add("n_much", weight, value=nitrate, mark=high)
    potassium, _ = _value("k", "k_mg_l", system, log, forecast, on)
    calcium, weight = _value("ca", "ca_mg_l", system, log, forecast, on)
    if potassium > facts.value("plants.k_per_ca") * calcium:
        add("k_heavy", weight, k=potassium, ca=calcium)


def _waters(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, add: _Add) -> None:
    ph, weight = _value("ph", "ph", system, log, forecast, on)
    high, low = facts.value("plants.ph_locks"), facts.value("plants.ph_acid")
    code = "ph_high" if ph > high else "ph_very_low" if ph < low else "ph_ok"
    add(code, weight, value=ph, mark=low if code == "ph_very_low" else high)
    sodium, weight = _value("na", "na_mg_l", system, log, forecast, on)
    ceiling = facts.water_limits()["na_plants"].high or 0.0
    add("na_high" if sodium > ceiling else "na_fair", weight, value=sodium, mark=ceiling)
    sulfur, weight = _value("s", "s_mg_l", system, log, forecast, on)
    add("s_short" if sulfur < SULFUR_SHORT else "s_fair", weight, value=sulfur, mark=SULFUR_SHORT)
    tan, weight = _value("tan", "tan_mg_l", system, log, forecast, on)
    mark = facts.value("plants.tan_roots")
    add("tan_high" if tan > mark else "tan_fair", weight, value=tan, mark=mark)
    oxygen, weight = _value("oxygen", "o2_min_mg_l", system, log, forecast, on)
    mark = facts.value("plants.oxygen_roots")
    add("oxygen_low" if oxygen < mark else "oxygen_fair", weight, value=oxygen, mark=mark)
    ec = latest(system, log, "ec")
    if ec is not None and (on - ec.on).days <= STALE_DAYS and ec.low is not None:
        mark = facts.value("plants.ec_salty")
        add("ec_high" if ec.low > mark else "ec_fair", READ, value=ec.low, mark=mark)
    hardness = system.source_water.ca_mg_l
    if hardness is not None and not SOFT_CA <= hardness <= HARD_CA:
        soft = hardness < SOFT_CA
        add("soft_water" if soft else "hard_water", READ, value=hardness, mark=SOFT_CA if soft else HARD_CA)


def _weather(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, add: _Add) -> None:
    temp, weight = _value("temperature", "temp_c", system, log, forecast, on)
    cold, rot, hot = (facts.value(f"plants.roots_{name}") for name in ("cold", "rot", "hot"))
    add("cold" if temp < cold else "warm", weight, value=temp, mark=cold)
    if temp > rot:
        add("root_warm", weight, value=temp, mark=rot)
    if temp > hot:
        add("hot", weight, value=temp, mark=hot)
    light = float(np.median(monthly(climate_of(system).light_mol, on)))
    mark = facts.value("plants.light_pale")
    add("light_low" if light < mark else "light_fair", RECKONED, value=light, mark=mark)


def _done(
    system: System, entries: Sequence[LogEntry], log: Sequence[LogEntry], on: date, crop: str | None, add: _Add
) -> None:
    since = on - timedelta(days=RECENT_DAYS)
    for day, item in doses(system, log):
        if day < since:
            continue
        if item.substance == "sodium_chloride":
            add("salted", READ, days=float((on - day).days))
        if item.substance == "boric_acid":
            add("boron_given", READ, days=float((on - day).days))
        if item.substance == "manganese_sulfate":
            add("manganese_given", READ, days=float((on - day).days))
    for entry in log:
        if isinstance(entry.payload, Spray) and system.day_of(entry.at) >= since:
            add("sprayed", READ, substance=entry.payload.substance, days=float((on - system.day_of(entry.at)).days))
    if crop is None:
        return
    standing = [p for p in state_at(system, entries, on).plantings.values() if p.crop == crop and p.standing]
    if not standing:
        return
    age = max((on - system.day_of(p.planted_at)).days for p in standing)
    young = min((on - system.day_of(p.planted_at)).days for p in standing)
    fresh, whole = facts.value("plants.transplant_days"), facts.crops()[crop].days_in_bed_default
    add("planted_lately" if young <= fresh else "planted_long_ago", READ, value=float(young), mark=fresh)
    add("past_its_days" if age > whole else "within_its_days", READ, value=float(age), mark=float(whole))


def _value(
    quantity: str, column: str, system: System, log: Sequence[LogEntry], forecast: Forecast, on: date
) -> tuple[float, float]:
    """Middle of what was read lately, else of the members, with the weight it has."""
    seen = latest(system, log, quantity)
    if seen is not None and 0 <= (on - seen.on).days <= STALE_DAYS:
        known = [end for end in (seen.low, seen.high) if end is not None]
        if known:
            return sum(known) / len(known), READ
    row = max(0, forecast.index(on) - 1)
    return quantile(forecast.columns[column][row], forecast.weights, 0.5), RECKONED
