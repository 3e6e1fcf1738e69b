"""The frozen records that the tables of facts are made of."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.facts.living import Crop as Crop
from rillbed.facts.living import Species as Species
from rillbed.facts.loops import FeedRateBand as FeedRateBand
from rillbed.facts.loops import KitKind as KitKind
from rillbed.facts.loops import Medium as Medium
from rillbed.facts.loops import Prior as Prior
from rillbed.facts.supplies import AmmoniaSource as AmmoniaSource
from rillbed.facts.supplies import ElementFraction as ElementFraction
from rillbed.facts.supplies import Feed as Feed
from rillbed.facts.supplies import Supplement as Supplement


@dataclass(frozen=True, slots=True)
class Source:
    """A published work that figures are taken from; an undated page has no year."""

    key: str
    title: str
    author: str
    year: int | None = None
    doi: str = ""


@dataclass(frozen=True, slots=True)
class Month:
    """Long-term monthly means of a place; None where its weather service submitted none."""

    tmax_c: float
    tmin_c: float
    tavg_c: float
    precip_mm: float | None
    wet_days: float | None
    wind_ms: float | None


@dataclass(frozen=True, slots=True)
class Town:
    """A weather station with its twelve months, January first; south and west are negative."""

    id: str
    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    koppen: str
    months: tuple[Month, ...]
    grade: str = "published"
    source: str = "wmo_normals_1991_2020"
