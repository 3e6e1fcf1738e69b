"""The budget of alkalinity: what uses it up, what brings it, and the days until pH can no longer be held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts, units
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Value, Values
from rillbed.plan.answers import Band
from rillbed.plan.look import until
from rillbed.plan.members import band, quantile, share
from rillbed.plan.shelf import base_for
from rillbed.plan.verdict.carbon import IONIC_STRENGTH
from rillbed.plan.verdict.sampling import COUNT, chosen
from rillbed.plan.verdict.waters import waters
from rillbed.plan.verdict.who import who
from rillbed.science import carbonate
from rillbed.science.titration import N_G_MOL

Floats = NDArray[np.float64]
EVEN = np.ones(COUNT)
FLOOR_MEQ_L = units.convert(facts.value("nitrifier.alkalinity_floor"), "ppm_CaCO3", "meq/L")
PPM = units.convert(1.0, "meq/L", "ppm_CaCO3")
CRASH_MEQ_L = facts.value("verdict.alkalinity_crash")
CRASH_PH = facts.water_limits()["ph_nitrifiers"].low or 0.0
PLANT_SHARE = facts.value("dosing.plant_alkalinity_share")
WEEK = 7
# The week's need is the mean of this many days ahead.
MEAN_DAYS = 14
FACTS = ("nitrifier.alkalinity_floor", "verdict.alkalinity_crash", "water_limits/ph_nitrifiers",
         "dosing.plant_alkalinity_share")  # fmt: skip


@dataclass(frozen=True)
class Days:
    """Days from now until something happens: 10, 50 and 90 % points, ``None`` past the horizon, and its chance."""

    low: float | None
    middle: float | None
    high: float | None
    chance: float
    horizon_days: int


@dataclass(frozen=True)
class Budget:
    """What becomes of alkalinity when no base is given from here on.

    Attributes
    ----------
    read_on : date or None
        Day of the reading it starts from; ``None`` where the members alone speak.
    alkalinity_meq_l, used_meq_l_day : Band
        Alkalinity now, and its mean use a day over the two weeks ahead (negative where more comes than goes).
    to_floor, to_crash : Days
        Until 45 mg/L CaCO3, where nitrification slows, and until pH falls under 6 or nothing is left.
    base_eq_week, base_g_week : Band
        Base that holds alkalinity where it is: equivalents, and grams of ``supply``.
    parts_meq_l_day : tuple of (code, float)
        Middle use by what takes or gives it; uses positive.
    course : tuple of (date, Band)
        Alkalinity day by day.
    """

    on: date
    read_on: date | None
    alkalinity_meq_l: Band
    used_meq_l_day: Band
    to_floor: Days
    to_crash: Days
    base_eq_week: Band
    base_g_week: Band
    supply: str
    parts_meq_l_day: tuple[tuple[str, float], ...]
    course: tuple[tuple[date, Band], ...]
    reasons: tuple[Reason, ...]
    facts: tuple[str, ...] = FACTS


def budget(
    system: System, entries: Sequence[LogEntry], forecast: Forecast, *, on: date, horizon_days: int = 90
) -> Budget:
    """Work out the budget from a log and its forecast.

    Parameters
    ----------
    forecast : Forecast
        Any that reaches beyond ``on``. Base its own rules give is left out: the acid is counted from nitrogen.
    on : date
        Day to start from.
    horizon_days : int
        Days to look ahead, cut to the forecast.

    Raises
    ------
    ValueError
        If the forecast does not reach beyond ``on``.

    Notes
    -----
    Derived, equivalents per mole of N: nitrification takes two, excretion and decay give one, nitrogen gas gives one,
    plants give back their nitrate less the potassium, calcium and magnesium eaten with it; water that is topped up
    brings its own. Nitrification is taken as in water that holds its alkalinity, which never shows a crash too late.
    """
    log = until(system, entries, on)
    system = system_at(system, log, on)
    state = state_at(system, log, on)
    found = waters(system, who(system, state), log, forecast, on)
    first = forecast.index(on)
    days = min(horizon_days, forecast.days - first)
    if days < 1:
        raise ValueError(f"on = {on}: the forecast must reach beyond it")
    parts = _parts(system, forecast, slice(first + 1, first + days + 1))
    picked = chosen(forecast)
    used = np.asarray(sum(parts.values()))[:, picked]
    start = found.column("alkalinity")
    course = np.vstack([start, start - np.cumsum(used, axis=0)])
    rows = slice(first, first + days + 1)
    co2 = np.maximum(forecast.columns["co2_mg_l"][rows].astype(float)[:, picked], 1e-3) / carbonate.CO2_G_MOL
    temp = np.clip(forecast.columns["temp_c"][rows].astype(float)[:, picked], 0.0, 50.0)
    ph = np.asarray(carbonate.step_ph(co2, course, temp, IONIC_STRENGTH))
    volume = forecast.columns["volume_m3"][first].astype(float)[picked]
    mean = used[:MEAN_DAYS].mean(axis=0)
    week = np.maximum(mean * volume * WEEK, 0.0)
    choice = base_for(state)
    seen = found.seen("alkalinity")
    read_on = seen.on if seen is not None and found.samples.basis["alkalinity"] == "reading" else None
    result = Budget(
        on=on,
        read_on=read_on,
        alkalinity_meq_l=band(start, EVEN),
        used_meq_l_day=band(mean, EVEN),
        to_floor=_days(course < FLOOR_MEQ_L),
        to_crash=_days((ph < CRASH_PH) | (course <= CRASH_MEQ_L)),
        base_eq_week=band(week, EVEN),
        base_g_week=band(week / choice.row.alkalinity_eq_per_g, EVEN),
        supply=choice.id,
        parts_meq_l_day=tuple(
            (code, quantile(rows_[:MEAN_DAYS].mean(axis=0)[picked], EVEN, 0.5)) for code, rows_ in parts.items()
        ),
        course=tuple((on + timedelta(days=day), band(row, EVEN)) for day, row in enumerate(course)),
        reasons=(),
    )
    return _reasoned(result)


def use_meq_l(forecast: Forecast, rows: slice) -> Floats:
    """Alkalinity the loop itself uses a day, meq/L, (days, members): without source water, base or acid."""
    parts = _parts(None, forecast, rows)
    return np.asarray(sum(parts[name] for name in parts if name != "source_water"), dtype=np.float64)


def _parts(system: System | None, forecast: Forecast, rows: slice) -> dict[str, Floats]:
    """Use of alkalinity by what takes or gives it, meq/L a day, (days, members); uses positive."""

    def column(name: str) -> Floats:
        return forecast.columns[name][rows].astype(np.float64)

    volume = np.maximum(column("volume_m3"), 1e-6)
    per_g = 1.0 / (N_G_MOL * volume)
    told = None if system is None else system.source_water.alkalinity_meq_l
    source = facts.choice("source_water.alkalinity_meq_l") if told is None else told
    return {
        "nitrification": 2.0 * column("n_nitrified") * per_g,
        "ammonia_freed": -(column("n_excreted") + column("n_mineralised")) * per_g,
        "nitrogen_gas": -column("n_gas") * per_g,
        "plants": -PLANT_SHARE * column("n_plants") * per_g,
        "source_water": -source * column("topup_l_day") / 1000.0 / volume,
    }


def _days(over: NDArray[np.bool_]) -> Days:
    """First day on which each draw is over, as quantiles; ``over`` is (days + 1, COUNT)."""
    ever = over.any(axis=0)
    first = np.where(ever, over.argmax(axis=0).astype(float), np.inf)
    low, middle, high = (
        None if np.isinf(value) else value for value in (quantile(first, EVEN, q) for q in (0.1, 0.5, 0.9))
    )
    return Days(low, middle, high, share(ever, EVEN), over.shape[0] - 1)


def _reasoned(made: Budget) -> Budget:
    """Add the argument in reading order."""
    now, read_on = made.alkalinity_meq_l, None if made.read_on is None else made.read_on.isoformat()
    reasons = [
        Reason(
            "budget.read" if made.read_on else "budget.by_model",
            {"low": now.low, "middle": now.middle, "high": now.high, "on": read_on},
        ),
        Reason("budget.used" if made.used_meq_l_day.middle > 0.0 else "budget.gains",
               {"middle": abs(made.used_meq_l_day.middle), "ppm": abs(made.used_meq_l_day.middle) * PPM}),
        _when("budget.floor", made.to_floor, {"floor": FLOOR_MEQ_L}),
        _when("budget.crash", made.to_crash, {"ph": CRASH_PH}),
    ]  # fmt: skip
    if made.base_eq_week.high > 0.0:
        grams = made.base_g_week
        values: dict[str, Value] = {"supply": made.supply, "low": grams.low, "middle": grams.middle, "high": grams.high}
        reasons.append(Reason("budget.base", values))
    return replace(made, reasons=tuple(reasons))


def _when(code: str, days: Days, values: Values) -> Reason:
    """Name the state of a countdown: over already, coming within the horizon, or not in sight."""
    if days.middle == 0.0:
        return Reason(f"{code}_now", values)
    if days.low is None:
        return Reason(f"{code}_far", {**values, "days": days.horizon_days})
    if days.middle is None or days.high is None:
        return Reason(f"{code}_maybe", {**values, "low": days.low, "chance": days.chance, "days": days.horizon_days})
    return Reason(f"{code}_in", {**values, "low": days.low, "middle": days.middle, "high": days.high})
