"""Why a start-up does not move: likely causes from the members and the log, and the reading that tells them apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.fit import Posterior
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import ToppedUp, WaterChanged
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.look import doses, latest, readings
from rillbed.plan.members import band, quantile, share
from rillbed.plan.rules import CLEAR_MG_L, Interval
from rillbed.science import nitrifier

Floats = NDArray[np.float64]
WEEK = 7
HALF = facts.value("plan.stall_speed")
GROWN = facts.value("plan.stall_growth")
WARM_C = facts.value("plan.stall_warm_c")
UNKNOWN_P = facts.value("plan.stall_phosphorus_unknown")
POISONED = facts.value("plan.stall_chlorine_read")
LEAST = facts.value("plan.stall_least_chance")
# What one would read to know whether a cause holds.
TELLS = {
    "temperature": "temp",
    "alkalinity": "alkalinity",
    "ph": "ph",
    "phosphorus": "p",
    "overdose": "tan",
    "chlorine": "chlorine",
    "unlogged": "no3",
}


@dataclass(frozen=True)
class Cause:
    """One cause: its probability, and the figures it rests on."""

    code: str
    chance: float
    why: Reason


@dataclass(frozen=True)
class Stalled:
    """Whether the bacteria grow.

    Attributes
    ----------
    state : str
        ``moving``; ``slow`` when members say so alone; ``stalled`` when the readings have not moved either;
        ``poisoned`` when chlorine was read in the loop, which no member knows of.
    growth : float
        Factor by which the weaker step is to grow in a week, middle of the members.
    causes : tuple of Cause
        The likeliest first; none while it moves.
    read : str
        Quantity whose reading tells most about which of them it is; "" while it moves.
    """

    state: str
    growth: float
    causes: tuple[Cause, ...] = ()
    read: str = ""


def stalled(
    system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, posterior: Posterior | None = None
) -> Stalled:
    """Judge a start-up on a day.

    Parameters
    ----------
    system, log
        The loop and what counts of its log up to ``on``, oldest first.
    forecast : Forecast
        Run at least a week beyond ``on``.
    posterior : Posterior, optional
        The fit behind it: tells whether the bacteria work less than all that is known explains.
    """
    later = on + timedelta(days=min(WEEK, forecast.days - forecast.index(on)))
    steps = [forecast.at(name, later) / forecast.at(name, on) for name in ("cap_a_g_m3_day", "cap_n_g_m3_day")]
    # A step that is grown already grows no more; what counts is whether anything still missing comes.
    load = _load(forecast, on)
    growth = [
        quantile(np.where(full, GROWN, step), forecast.weights, 0.5) for step, full in zip(steps, load, strict=True)
    ]
    least = float(min(growth))
    given = any(item.substance in facts.ammonia_sources() for _, item in doses(system, log)) or any(
        entry.kind in ("feeding", "fish_in") for entry in log
    )
    poison = _poison(system, log, on)
    if not given or (least >= GROWN and poison is None):
        return Stalled("moving", least)
    flat = _flat(system, log)
    chances = _chances(system, log, forecast, on)
    if poison is not None:
        chances["chlorine"] = (POISONED, {"low": poison.worst_low, "high": poison.worst_high})
    if flat:
        left = float(np.prod([1.0 - chance for chance, _ in chances.values()]))
        chances["unlogged"] = (max(left, _worse(posterior)), {})
    elif posterior is not None:
        chances["unlogged"] = (_worse(posterior), {})
    causes = [
        Cause(code, chance, Reason(_told(code, values), {**values, "chance": chance}))
        for code, (chance, values) in chances.items()
        if chance >= LEAST
    ]
    causes.sort(key=lambda one: -one.chance)
    state = "poisoned" if poison is not None else "stalled" if flat else "slow"
    return Stalled(state, least, tuple(causes), _telling(causes))


def _load(forecast: Forecast, on: date) -> list[NDArray[np.bool_]]:
    """Whether each step already takes a middling start-up dose in a day, (members,) for both."""
    asked = facts.value("start.refill_to")
    return [forecast.at(name, on) >= asked for name in ("cap_a_g_m3_day", "cap_n_g_m3_day")]


def _flat(system: System, log: Sequence[LogEntry]) -> bool:
    """Whether a week of readings, with no dose between, shows ammonia or nitrite that has not fallen."""
    last_dose = max((day for day, _ in doses(system, log)), default=date.min)
    for quantity in ("tan", "no2"):
        # Nitrite rises while ammonia is fed; only what the last dose left behind may be compared.
        seen = [one for one in readings(system, log, quantity) if one.on > last_dose]
        if len(seen) > 1 and (seen[-1].on - seen[0].on).days >= WEEK:
            first, last = seen[0], seen[-1]
            if last.worst_low > CLEAR_MG_L and last.worst_high >= first.worst_low:
                return True
    return False


def _chances(
    system: System, log: Sequence[LogEntry], forecast: Forecast, on: date
) -> dict[str, tuple[float, Mapping[str, float]]]:
    """Share of members in which each cause alone holds a step under half its speed, and what it rests on."""
    p, w = forecast.params, forecast.weights

    def column(name: str) -> Floats:
        return forecast.at(name, on).astype(np.float64)

    temp, ph, alkalinity = column("temp_c"), column("ph"), np.maximum(column("alkalinity_meq_l"), 0.0)
    phosphorus, nh3 = column("p_mg_l"), np.maximum(column("nh3_mg_l"), 0.0)
    cold = np.minimum(p["theta_a"] ** (temp - WARM_C), p["theta_n"] ** (temp - WARM_C))
    acid = np.asarray(nitrifier.ph_factor(np.clip(ph, 4.0, 10.0)))
    short = np.asarray(nitrifier.alkalinity_factor(alkalinity, p["alk_half_startup"]))
    toxic = np.asarray(nitrifier.ammonia_inhibition(nh3, p["ki_nh3"]))

    def told(values: Floats) -> dict[str, float]:
        found = band(values, w)
        return {"low": found.low, "high": found.high}

    # What fills the loop brings nearly all the phosphorus of a start-up; a figure nobody gave proves no lack of it.
    guessed = system.source_water.p_mg_l is None and latest(system, log, "p") is None
    known, held = (UNKNOWN_P, {}) if guessed else (1.0, told(phosphorus))
    return {
        "temperature": (share(cold < HALF, w), told(temp)),
        "ph": (share(acid < HALF, w), told(ph)),
        "alkalinity": (share(short < HALF, w), told(alkalinity)),
        "phosphorus": (known * share(phosphorus < facts.value("plan.stall_phosphorus"), w), held),
        "overdose": (share(toxic < HALF, w), told(column("tan_mg_l"))),
        "chlorine": (_chlorine(system, log, on), {}),
    }


def _told(code: str, values: Mapping[str, float]) -> str:
    if code == "chlorine" and values:
        return "stall.chlorine_read"
    return "stall.phosphorus_unread" if code == "phosphorus" and not values else f"stall.{code}"


def _poison(system: System, log: Sequence[LogEntry], on: date) -> Interval | None:
    """Give the last reading of chlorine in the loop, if it found some within two weeks."""
    last = latest(system, log, "chlorine")
    if last is None or last.worst_low <= 0.0 or (on - last.on).days > 2 * WEEK:
        return None
    return last


def _chlorine(system: System, log: Sequence[LogEntry], on: date) -> float:
    """Chance that chlorine or chloramine came in lately: by the set-up where it tells, else by common practice."""
    water = [entry for entry in log if isinstance(entry.payload, WaterChanged | ToppedUp)]
    lately = [
        entry for entry in water
        if (on - system.day_of(entry.at)).days <= 2 * WEEK and not getattr(entry.payload, "treated", True)
    ]  # fmt: skip
    begun = (on - system.started_on).days <= 2 * WEEK
    read = [
        entry.payload.interval[0] for entry in log
        if isinstance(entry.payload, Reading) and entry.payload.quantity == "chlorine" and entry.payload.source_water
    ]  # fmt: skip
    known = (system.source_water.free_chlorine_mg_l, system.source_water.chloramine_mg_l, *read[-1:])
    ceiling = facts.water_limits()["chlorine_ceiling"].high or 0.0
    if any(value is not None and value > ceiling for value in known):
        return facts.value("plan.stall_chlorine_known") if lately or begun else 0.0
    if None in known[:2] and (lately or begun):
        return facts.value("plan.stall_chlorine_unknown")
    return 0.0


def _worse(posterior: Posterior | None) -> float:
    """Share of members whose bacteria work at less than half of what temperature, pH and food explain, this week."""
    if posterior is None or posterior.setting.days < 1:
        return 0.0
    path = posterior.coordinates.path("xi_nitrif", posterior.z, posterior.setting.days)
    return float(np.mean(path[-WEEK:].mean(axis=0) < np.log(HALF)))


def _telling(causes: Sequence[Cause]) -> str:
    """Quantity to read: the one that is most evenly open, for a reading of what is sure already teaches nothing."""
    total = sum(one.chance for one in causes)
    if not causes:
        return ""

    def open_(one: Cause) -> float:
        q = one.chance / total if len(causes) > 1 else one.chance
        return 0.0 if q in (0.0, 1.0) else float(-q * np.log(q) - (1.0 - q) * np.log(1.0 - q))

    return TELLS[max(causes, key=open_).code]
