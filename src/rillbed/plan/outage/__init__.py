"""Hours of oxygen: how long fish last when the air stops, what to do minute by minute, and the heat ahead."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.look import latest, until
from rillbed.plan.members import quantile
from rillbed.plan.outage.acts import acts
from rillbed.plan.outage.answer import Act, Air, Lasts, Minutes, Outlook, TankLife, WarmDay
from rillbed.plan.outage.life import life
from rillbed.plan.outage.load import Floats, Shoal, Spread, Tank, spread, tanks_of
from rillbed.plan.outage.warm import look_ahead
from rillbed.science.oxygen import saturation_mg_l, station_pressure_atm
from rillbed.tongue import tr

__all__ = [
    "Act", "Air", "Lasts", "Minutes", "Outlook", "Shoal", "Tank", "TankLife", "WarmDay", "outlook", "spread",
    "tanks_of",
]  # fmt: skip

FACTS = (
    "oxygen.saturation", "aeration.still_surface", "aeration.bacteria_share", "aeration.transfer_share",
    "aeration.tank_water", "aeration.watts_per_l_min", "aeration.battery_share", "aeration.weir",
)  # fmt: skip
USUAL_TEMP_C = 20.0


def outlook(
    system: System,
    entries: Sequence[LogEntry],
    on: date,
    *,
    tanks: Sequence[Tank] | None = None,
    temp_c: float | None = None,
    oxygen_mg_l: float | None = None,
    days_ahead: Sequence[float | tuple[float, float]] = (),
    forecast: Forecast | None = None,
) -> Outlook:
    """Say how long the fish of every tank last without air, and what to do.

    Parameters
    ----------
    system, entries, on
        The loop, its log and the day.
    tanks : sequence of Tank or None
        Fish by tank where the user says so; ``None``: as the log has them.
    temp_c : float or None
        Water temperature, degC, 0 to 40; ``None``: read that day, else the members'.
    oxygen_mg_l : float or None
        Oxygen when the air stops; ``None``: read that day, else the members', else a share of saturation.
    days_ahead : sequence
        Air of the days ahead, degC: means, or (lowest, highest).
    forecast : Forecast or None
        Members, for temperature, oxygen, growth and how much the fish breathe.

    Raises
    ------
    ValueError
        For a temperature or oxygen that cannot be.
    """
    vessels = tuple(tanks) if tanks is not None else tanks_of(system, entries, on, forecast)
    log = until(system, entries, on)
    notes: list[Reason] = []
    temp = _temperature(system, log, on, temp_c, forecast, notes)
    pressure = float(station_pressure_atm(system.elevation_m))
    full = float(saturation_mg_l(temp, pressure))
    start = _start(system, log, on, oxygen_mg_l, forecast, full, notes)
    unsure = spread(forecast)
    lives = sorted((life(tank, temp, full, start, unsure) for tank in vessels), key=lambda tank: tank.first_minutes)
    if not any(tank.shoals for tank in vessels):
        notes.append(Reason("outage.no_fish"))
    sure = (*_beyond(vessels, temp), *_shared(system, entries, vessels, tanks))
    warm: tuple[WarmDay, ...] = ()
    if days_ahead:
        warm = look_ahead(system, temp, days_ahead, vessels, *_exchange(system, forecast, unsure))
    return Outlook(system.name, on, tuple(lives), acts(lives), warm, (*notes, *sure), FACTS)


def _temperature(
    system: System,
    log: Sequence[LogEntry],
    on: date,
    typed: float | None,
    forecast: Forecast | None,
    notes: list[Reason],
) -> float:
    if typed is not None:
        if not 0.0 <= typed <= 40.0:
            raise ValueError(tr("temp_c = {typed}: must be 0 to 40 degC").format(typed=f"{typed:g}"))
        return typed
    seen = latest(system, log, "temperature")
    if seen is not None and seen.on == on and seen.high is not None:
        return seen.high
    if forecast is not None:
        # Warmer water holds less and fish breathe more: the warm end of the members.
        return float(np.clip(quantile(forecast.at("temp_c", on), forecast.weights, 0.75), 0.0, 40.0))
    if seen is not None and seen.high is not None:
        return seen.high
    notes.append(Reason("outage.temp_assumed", {"temp": USUAL_TEMP_C}))
    return USUAL_TEMP_C


def _start(
    system: System, log: Sequence[LogEntry], on: date, typed: float | None, forecast: Forecast | None, full: float,
    notes: list[Reason],
) -> dict[str, Floats | float]:  # fmt: skip
    if typed is not None:
        if not 0.0 <= typed <= 30.0:
            raise ValueError(tr("oxygen_mg_l = {typed}: must be 0 to 30 mg/L").format(typed=f"{typed:g}"))
        return {"day": typed, "night": typed}
    seen = latest(system, log, "oxygen")
    drop = facts.value("aeration.night_drop")
    if seen is not None and seen.on == on and seen.low is not None:
        return {"day": seen.low, "night": seen.low * drop}
    if forecast is not None:
        by_day, at_dawn = (forecast.at(name, on).astype(float) for name in ("o2_mg_l", "o2_min_mg_l"))
        return {"day": np.minimum(by_day, full), "night": np.minimum(at_dawn, full)}
    share = facts.value("aeration.start_share")
    notes.append(Reason("outage.oxygen_assumed", {"share": share, "oxygen": share * full}))
    return {"day": share * full, "night": share * drop * full}


def _beyond(vessels: Sequence[Tank], temp_c: float) -> list[Reason]:
    """Say so where what a kind breathes was measured far from this temperature."""
    out = []
    for kind in sorted({shoal.species for tank in vessels for shoal in tank.shoals}):
        measured = facts.species()[kind].o2_ref_temp_c
        if abs(temp_c - measured) > facts.value("aeration.measured_span"):
            out.append(Reason("outage.beyond", {"species": kind, "measured": measured, "temp": temp_c}))
    return out


def _shared(
    system: System, entries: Sequence[LogEntry], vessels: Sequence[Tank], told: Sequence[Tank] | None
) -> tuple[Reason, ...]:
    """Say so where fish were shared among tanks because nobody said which they are in."""
    stocked = [tank for tank in vessels if tank.shoals]
    if told is not None or len(stocked) < 2:
        return ()
    densities = {round(tank.biomass_g / tank.volume_l, 6) for tank in stocked}
    return (Reason("outage.shared", {"count": len(stocked)}),) if len(densities) == 1 else ()


def _exchange(system: System, forecast: Forecast | None, unsure: Spread) -> tuple[float, float]:
    """Gas exchange of the running loop, 1/day, at its cautious end, and the usual factor for all else that breathes."""
    if forecast is not None:
        kla = quantile(forecast.params["kla_o2"], forecast.weights, 0.25)
    else:
        kla = facts.priors()[f"kla_o2_{system.aeration}"].median
    return kla, quantile(unsure.use, unsure.weights, 0.5)
