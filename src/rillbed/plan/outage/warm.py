"""Warm days ahead: tank temperatures from the air the user reads in a weather forecast, and what they ask for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rillbed import facts
from rillbed.engine.climate import cools_h
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Value
from rillbed.plan.outage.answer import WarmDay
from rillbed.plan.outage.load import Tank
from rillbed.science import heat
from rillbed.science.oxygen import saturation_mg_l, station_pressure_atm

DAY_H = 24.0
LOW_C, HIGH_C = -40.0, 55.0
MARGIN_C = facts.value("aeration.heat_margin")

Air = float | tuple[float, float]


def look_ahead(
    system: System, water_c: float, days: Sequence[Air], tanks: Iterable[Tank], kla20_per_day: float, use: float
) -> tuple[WarmDay, ...]:
    """Follow the water through some days of air temperature.

    Parameters
    ----------
    system : System
        The loop: its volume and surface give the time constant, its place the sun on it.
    water_c : float
        Water this morning, degC.
    days : sequence
        Air day by day, degC: a mean, or (lowest, highest).
    tanks : iterable of Tank
        Fish tanks, for the oxygen their fish use.
    kla20_per_day : float
        Gas exchange of the running loop at 20 degC, 1/day.
    use : float
        Factor on the fish's own use for all else that breathes.

    Raises
    ------
    ValueError
        For an air temperature that cannot be, or a lowest above its highest.

    Notes
    -----
    The water's mean relaxes to the air's; its swing is the air's, damped. In the open sun lifts it. Oxygen low is
    where the running exchange meets fed fish at the day's peak.
    """
    hours, pressure = cools_h(system), float(station_pressure_atm(system.elevation_m))
    lift = facts.value("aeration.sun_lift") if system.place == "outdoors" else 0.0
    vessels = [tank for tank in tanks if tank.shoals]
    kinds = sorted({shoal.species for tank in vessels for shoal in tank.shoals})
    out = []
    for number, air in enumerate(days):
        low, high = (air, air) if isinstance(air, int | float) else air
        if not LOW_C <= low <= high <= HIGH_C:
            raise ValueError(f"air of day {number + 1}: {low:g} to {high:g}, must rise within {LOW_C:g} to {HIGH_C:g}")
        mean = 0.5 * (low + high) + lift
        water_c = float(heat.relaxed_c(water_c, mean, DAY_H, hours))
        if system.heater_set_c is not None:
            water_c = float(heat.heated_c(water_c, system.heater_set_c))
        water_c = min(max(water_c, 0.0), 40.0)
        peak = min(40.0, water_c + 0.5 * (high - low) * float(heat.swing_share(DAY_H, hours)))
        full = float(saturation_mg_l(peak, pressure))
        eaten = max((tank.use_mg_l_h(peak, fed=True) for tank in vessels), default=0.0) * use * DAY_H
        kla = kla20_per_day * facts.value("oxygen.kla_theta") ** (peak - 20.0)
        lowest = max(0.0, full - eaten / kla)
        out.append(WarmDay(number, low, high, water_c, peak, full, lowest, _advice(kinds, peak, lowest)))
    return tuple(out)


def _advice(kinds: Sequence[str], peak_c: float, lowest_mg_l: float) -> tuple[Reason, ...]:
    out = []
    for kind in kinds:
        row = facts.species()[kind]
        values: dict[str, Value] = {
            "species": kind,
            "peak": peak_c,
            "lethal": row.temp_lethal_high_c,
            "most": row.temp_vital_max_c,
        }
        if peak_c >= row.temp_lethal_high_c - MARGIN_C:
            out.append(Reason("warm.take_out", values))
        if peak_c > row.temp_vital_max_c:
            out.append(Reason("warm.no_feed", values))
        elif peak_c > row.temp_opt_max_c:
            out.append(Reason("warm.less_feed", {**values, "best": row.temp_opt_max_c}))
        if lowest_mg_l < row.do_min_mg_l:
            out.append(Reason("warm.more_air", {"species": kind, "oxygen": lowest_mg_l, "least": row.do_min_mg_l}))
    if out:
        out += [Reason("warm.shade"), Reason("warm.no_ice", {"rate": facts.value("aeration.cooling_c_h")})]
    return tuple(out)
