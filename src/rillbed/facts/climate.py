"""Monthly climate of towns, as their weather services submitted it."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import groupby
from math import cos, radians, sin


@dataclass(frozen=True, slots=True)
class Month:
    """Long-term monthly means of a place; None where its weather service submitted none.

    Humidity, sunshine (hours in the month) and radiation on the flat are complete; how each was found stands beside it:
    `rh_how` published, vapour_pressure, typical_year or estimated; `sun_how` published or estimated;
    `ghi_how` measured, typical_year, sunshine (from its hours) or day_range (from temperatures and wet days).
    """

    tmax_c: float
    tmin_c: float
    tavg_c: float
    precip_mm: float | None
    wet_days: float | None
    wind_ms: float | None
    rh_pct: float
    rh_how: str
    sun_h: float
    sun_how: str
    ghi_mj_m2_day: float
    ghi_how: str


@dataclass(frozen=True, slots=True)
class Town:
    """A weather station with its twelve months, January first; south and west are negative.

    Temperature, rain, wet days and wind are as published; `grade` is that of the weakest figure.
    """

    id: str
    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    koppen: str
    months: tuple[Month, ...]
    grade: str = "derived"
    source: tuple[str, ...] = ("wmo_normals_1991_2020",)


@cache
def towns() -> dict[str, Town]:
    """Return every town with monthly climate normals by id (degrees, m, degC, mm, m/s, %, h, MJ/m2/day)."""
    lines = files(__package__).joinpath("towns.csv").read_text("utf-8").splitlines()
    return towns_of(lines)


def towns_of(lines: list[str]) -> dict[str, Town]:
    """Read towns from lines of CSV, twelve rows each.

    Raises
    ------
    ValueError
        If a town has not the months 1 to 12 once each.
    """
    found: dict[str, Town] = {}
    for key, group in groupby(csv.DictReader(lines), key=lambda row: row["town_id"]):
        rows = sorted(group, key=lambda row: int(row["month"]))
        if key in found or [int(row["month"]) for row in rows] != list(range(1, 13)):
            raise ValueError(f"towns.csv: {key!r} must have the months 1 to 12 once each")
        first = rows[0]
        months = tuple(_month(row) for row in rows)
        typical = any("typical_year" in (month.rh_how, month.ghi_how) for month in months)
        found[key] = Town(
            id=key,
            name=first["town"],
            country=first["country"],
            latitude_deg=float(first["lat"]),
            longitude_deg=float(first["lon"]),
            elevation_m=float(first["elev_m"]),
            koppen=first["koppen"],
            months=months,
            source=("wmo_normals_1991_2020", *(("typical_years",) if typical else ())),
        )
    return found


def _month(row: dict[str, str]) -> Month:
    return Month(
        tmax_c=float(row["tmax_c"]),
        tmin_c=float(row["tmin_c"]),
        tavg_c=float(row["tavg_c"]),
        precip_mm=float(row["precip_mm"]) if row["precip_mm"] else None,
        wet_days=float(row["wet_days"]) if row["wet_days"] else None,
        wind_ms=float(row["wind_ms"]) if row["wind_ms"] else None,
        rh_pct=float(row["rh_pct"]),
        rh_how=row["rh_how"],
        sun_h=float(row["sun_h"]),
        sun_how=row["sun_how"],
        ghi_mj_m2_day=float(row["ghi_mj_m2_day"]),
        ghi_how=row["ghi_how"],
    )


def nearest_town(latitude_deg: float, longitude_deg: float) -> Town:
    """Return the town closest on the globe to a place in degrees, south and west negative."""

    def closeness(town: Town) -> float:
        a, b = radians(latitude_deg), radians(town.latitude_deg)
        return sin(a) * sin(b) + cos(a) * cos(b) * cos(radians(longitude_deg - town.longitude_deg))

    return max(towns().values(), key=closeness)
