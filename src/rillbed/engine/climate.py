"""Twelve months of weather as the loop feels it: air, water temperature, light and evaporation where it stands."""

from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.facts.records import Month, Town
from rillbed.garden.system import System
from rillbed.science import evaporation, heat, light

YEAR = 2025  # any year without a leap day: only the day of the year counts
MID_DAY = 15
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
WIND_MAST_M = 10.0  # height at which weather services measure wind

Months = tuple[float, ...]


@dataclass(frozen=True)
class Climate:
    """Monthly means from January.

    Attributes
    ----------
    air_c, water_c : twelve floats
        Air around the plants, and water without a heater, degC.
    et_mm : twelve floats
        Loss of a fully covering grass-like crop, mm/day.
    open_mm : twelve floats
        Loss of open water, mm/day.
    light_mol : twelve floats
        Light on the plants, mol/m2/day.
    rain_mm : twelve floats
        Rain that falls on open water and open beds, mm/day.
    """

    air_c: Months
    water_c: Months
    et_mm: Months
    open_mm: Months
    light_mol: Months
    rain_mm: Months = (0.0,) * 12


def town_of(system: System) -> Town:
    """Give the town whose normals the loop goes by: the one named, else the nearest."""
    if system.town is not None:
        return facts.towns()[system.town]
    return facts.nearest_town(system.latitude_deg, system.longitude_deg)


def climate_of(system: System) -> Climate:
    """Give the weather of a loop from its town's normals, its place and what the user knows better."""
    months = town_of(system).months
    air = air_c(system, months)
    least = facts.choice("climate.least_water_c")
    water = system.water_temp_c or tuple(max(t, least) for t in air)
    if system.place == "indoors":
        return Climate(air, water, *_indoors(air, water))
    share = facts.choice("climate.greenhouse_et_share") if system.place == "greenhouse" else 1.0
    sun = facts.choice("climate.greenhouse_light_share") if system.place == "greenhouse" else 1.0
    et = tuple(share * reference_mm(system, month, i) for i, month in enumerate(months))
    kc = facts.choice("evaporation.open_water_kc")
    dli = tuple(float(light.daily_light_mol_m2(month.ghi_mj_m2_day, sun)) for month in months)
    rain = rain_mm(months) if system.place == "outdoors" else (0.0,) * 12
    return Climate(air, water, et, tuple(kc * mm for mm in et), dli, rain)


def rain_mm(months: tuple[Month, ...]) -> Months:
    """Give mean rain, mm/day; none where the weather service published none."""
    return tuple((month.precip_mm or 0.0) / MONTH_DAYS[i] for i, month in enumerate(months))


def catch_m2(system: System) -> float:
    """Give what rain falls into, m2: open tanks, media beds and rafts; channels are closed."""
    return surface_m2(system) + sum(bed.area_m2 for bed in system.beds if bed.kind != "nft")


def air_c(system: System, months: tuple[Month, ...]) -> Months:
    """Give the mean air around the plants: outside, warmer under cover, a lived-in room at least."""
    if system.place == "indoors":
        least = facts.choice("climate.indoor_air_c")
        return tuple(max(month.tavg_c, least) for month in months)
    lift = facts.choice("climate.greenhouse_lift_c") if system.place == "greenhouse" else 0.0
    return tuple(month.tavg_c + lift for month in months)


def reference_mm(system: System, month: Month, index: int) -> float:
    """Give reference evapotranspiration of one month's mean day outside, mm/day (FAO-56)."""
    day = date(YEAR, index + 1, MID_DAY).timetuple().tm_yday
    # humidity of the normals is over the mean temperature, so this is the vapour pressure they were made from
    ea = month.rh_pct / 100.0 * float(evaporation.vapour_pressure_kpa(month.tavg_c))
    wind = facts.choice("climate.wind_m_s")
    if month.wind_ms is not None:
        wind = float(evaporation.wind_at_2_m(month.wind_ms, WIND_MAST_M))
    loss = evaporation.reference_et_mm_day(
        system.latitude_deg, day, system.elevation_m, month.tmax_c, month.tmin_c, ea, wind,
        month.sun_h / MONTH_DAYS[index],
    )  # fmt: skip
    return float(loss)


def _indoors(air: Months, water: Months) -> tuple[Months, Months, Months]:
    """Still room air: leaves lose water at the temperature of the room, open water at its own."""
    share, wind = facts.choice("climate.indoor_humidity_pct") / 100.0, facts.choice("climate.indoor_wind_m_s")
    ea = [share * float(evaporation.vapour_pressure_kpa(t)) for t in air]
    et = tuple(float(evaporation.warm_water_mm_day(t, e, wind)) for t, e in zip(air, ea, strict=True))
    loss = tuple(float(evaporation.warm_water_mm_day(t, e, wind)) for t, e in zip(water, ea, strict=True))
    return et, loss, (facts.choice("climate.indoor_light_mol_m2_day"),) * 12


def surface_m2(system: System) -> float:
    """Give the open water of the tanks, m2, at the depth of a usual tank."""
    return system.tank_volume_m3 / facts.choice("tank.depth_m")


def cools_h(system: System) -> float:
    """Give the time constant of the loop against the air, h: its tanks as one square block."""
    surface, depth = surface_m2(system), facts.choice("tank.depth_m")
    wall = surface + 4.0 * surface**0.5 * depth
    return float(
        heat.time_constant_h(
            system.total_volume_m3, wall, facts.choice("tank.wall_w_m2_k"), surface, facts.choice("tank.surface_w_m2_k")
        )
    )
