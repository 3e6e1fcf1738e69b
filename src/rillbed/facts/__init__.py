"""Sourced figures, loaded from the data files of this package."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from importlib.resources import files
from itertools import groupby
from math import cos, radians, sin

from rillbed.facts.living import crops as crops
from rillbed.facts.living import species as species
from rillbed.facts.loops import feed_rate_bands as feed_rate_bands
from rillbed.facts.loops import kits as kits
from rillbed.facts.loops import media as media
from rillbed.facts.loops import priors as priors
from rillbed.facts.records import Month, Source, Town
from rillbed.facts.supplies import ammonia_sources as ammonia_sources
from rillbed.facts.supplies import element_fractions as element_fractions
from rillbed.facts.supplies import feeds as feeds
from rillbed.facts.supplies import supplements as supplements


@cache
def sources() -> dict[str, Source]:
    """Return every source by key; an unknown field in the registry raises TypeError."""
    table = tomllib.loads(files(__name__).joinpath("sources.toml").read_text("utf-8"))
    return {key: Source(key=key, **row) for key, row in table.items()}


@cache
def towns() -> dict[str, Town]:
    """Return every town with monthly climate normals by id (degrees, m, degC, mm, m/s)."""
    lines = files(__name__).joinpath("towns.csv").read_text("utf-8").splitlines()
    found: dict[str, Town] = {}
    for key, group in groupby(csv.DictReader(lines), key=lambda row: row["town_id"]):
        rows = sorted(group, key=lambda row: int(row["month"]))
        if [int(row["month"]) for row in rows] != list(range(1, 13)):
            raise ValueError(f"towns.csv: {key!r} must have the months 1 to 12 once each")
        first = rows[0]
        found[key] = Town(
            id=key,
            name=first["town"],
            country=first["country"],
            latitude_deg=float(first["lat"]),
            longitude_deg=float(first["lon"]),
            elevation_m=float(first["elev_m"]),
            koppen=first["koppen"],
            months=tuple(_month(row) for row in rows),
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
    )


def nearest_town(latitude_deg: float, longitude_deg: float) -> Town:
    """Return the town closest on the globe to a place in degrees, south and west negative."""

    def closeness(town: Town) -> float:
        a, b = radians(latitude_deg), radians(town.latitude_deg)
        return sin(a) * sin(b) + cos(a) * cos(b) * cos(radians(longitude_deg - town.longitude_deg))

    return max(towns().values(), key=closeness)
