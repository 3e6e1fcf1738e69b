"""The model as a lesson: five things to change, ninety days of water, and both views of how much bed it carries."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

import numpy as np

from rillbed import engine, facts
from rillbed.engine import Forecast
from rillbed.garden.errors import GardenError, one_of
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.bands import Band
from rillbed.plan.crops import crop_of, life_days, take_up_g_day
from rillbed.plan.members import band, quantile
from rillbed.plan.room import steady_m2
from rillbed.tongue import tr

DAYS, MEMBERS = 90, 60
ON = date(2025, 4, 1)  # any day: the water keeps one temperature, and the beds stand indoors
SPECIES, CROP, FEED, FISH_G = "goldfish", "lettuce_loose", "pellet_32", 80.0
SEEDS = ("none", "pond", "mature")
KINDS = ("media", "raft", "nft")
LOW_MG_L = 0.25  # what a kit reads as nothing
RANGES = {
    "temp_c": (12.0, 30.0),
    "feed_g_day": (0.0, 100.0),
    "fish": (0, 60),
    "bed_m2": (0.0, 6.0),
    "litres": (50.0, 100_000.0),
}
SHOWN = {"tan": "tan_mg_l", "no2": "no2_mg_l", "no3": "no3_mg_l"}


@dataclass(frozen=True)
class Settings:
    """What can be changed: the ranges are those of `RANGES`, `SEEDS` and `KINDS`."""

    temp_c: float = 22.0
    feed_g_day: float = 20.0
    fish: int = 20
    seed: str = "pond"
    bed_m2: float = 1.5
    litres: float = 1000.0
    bed_kind: str = "media"

    def __post_init__(self) -> None:
        for name, (low, high) in RANGES.items():
            value = getattr(self, name)
            if not low <= value <= high:
                raise GardenError(name, value, tr("must be from {low:g} to {high:g}").format(low=low, high=high))
        for name, allowed in (("seed", SEEDS), ("bed_kind", KINDS)):
            if getattr(self, name) not in allowed:
                raise GardenError(name, getattr(self, name), one_of(allowed))

    def like(self, system: System) -> Settings:
        """Give the same lesson in the water and beds of a loop, as far as the lesson goes."""
        kind = system.beds[0].kind if system.beds else self.bed_kind
        low, high = RANGES["litres"]
        return replace(self, litres=min(max(system.tank_volume_m3 * 1000.0, low), high), bed_kind=kind)


@dataclass(frozen=True)
class Lesson:
    """What the settings lead to.

    Attributes
    ----------
    water : mapping of tan, no2, no3 to a Band for each day
        mg/L as N.
    peaks : mapping of tan, no2 to (day, mg/L) of the middle member
    gone : int or None
        Day from which ammonia and nitrite stay low in the middle, after their peaks.
    tan_limit_mg_l : float
        Of the fish of the lesson.
    balance_m2, rule_m2 : Band
        Bed that nitrogen carries at the end, and bed by the feed rule.
    eaten_g_day : float
        Feed the fish eat at the end; the rest rots.
    """

    settings: Settings
    water: dict[str, tuple[Band, ...]]
    peaks: dict[str, tuple[int, float]]
    gone: int | None
    tan_limit_mg_l: float
    balance_m2: Band
    rule_m2: Band
    eaten_g_day: float


def lesson(settings: Settings) -> Lesson:
    """Run the lesson: the model itself, fed by a made-up log."""
    system = _system(settings)
    end = ON + timedelta(days=DAYS)
    ran = engine.forecast(system, _log(settings, system), on=end, horizon_days=1, members=MEMBERS)
    water = {
        name: tuple(band(ran.columns[column][day], ran.weights) for day in range(DAYS + 1))
        for name, column in SHOWN.items()
    }
    peaks = {name: _peak(water[name]) for name in ("tan", "no2")}
    rule = facts.feed_rate_bands()["leafy"]
    crop = crop_of(CROP)
    demand = float(take_up_g_day(crop, "n").sum()) / life_days(crop) * crop.spacing_default_plants_m2
    low, high = (settings.feed_g_day / end_g for end_g in (rule.high_g_m2_day, rule.low_g_m2_day))
    return Lesson(
        settings=settings,
        water=water,
        peaks=peaks,
        gone=_gone(water, peaks),
        tan_limit_mg_l=facts.species()[SPECIES].tan_max_mg_l,
        balance_m2=steady_m2(ran, end, demand),
        rule_m2=Band(low, (low + high) / 2.0, high),
        eaten_g_day=_eaten(ran, end, settings),
    )


def _system(settings: Settings) -> System:
    beds = [{"name": "bed", "area_m2": settings.bed_m2, "kind": settings.bed_kind}]
    return System.make(
        {
            "name": "Lesson", "latitude_deg": 40.0, "place": "indoors", "started_on": ON, "startup_path": "fish_in",
            "tanks": [{"name": "tank", "volume_l": settings.litres}], "beds": beds if settings.bed_m2 > 0.0 else [],
            "seeding": settings.seed, "water_temp_c": [settings.temp_c] * 12,
        }
    )  # fmt: skip


def _log(settings: Settings, system: System) -> list[LogEntry]:
    def entry(day: int, kind: str, payload: dict[str, Any]) -> LogEntry:
        at = datetime.combine(ON + timedelta(days=day), time(8), UTC)
        key = uuid5(NAMESPACE_URL, f"rillbed lesson {day} {kind}")
        return LogEntry.make({"uuid": key, "at": at, "kind": kind, "payload": payload})

    log = []
    if settings.fish:
        weight = {"value": FISH_G, "unit": "g"}
        log.append(entry(0, "fish_in", {"species": SPECIES, "count": settings.fish, "weight": weight, "group": "fish"}))
    places = int(settings.bed_m2 * facts.crops()[CROP].spacing_default_plants_m2)
    if places and system.beds:
        life = life_days(crop_of(CROP))
        for day in range(0, DAYS, life):
            log.append(entry(day, "planted", {"crop": CROP, "count": places, "bed": system.beds[0].name}))
    if settings.feed_g_day > 0.0:
        amount = {"value": settings.feed_g_day, "unit": "g"}
        log += [entry(day, "feeding", {"feed": FEED, "amount": amount}) for day in range(DAYS)]
    return sorted(log, key=lambda one: one.at)


def _peak(days: tuple[Band, ...]) -> tuple[int, float]:
    middle = np.array([one.middle for one in days])
    return int(middle.argmax()), float(middle.max())


def _gone(water: dict[str, tuple[Band, ...]], peaks: dict[str, tuple[int, float]]) -> int | None:
    """Give the first day after both peaks from which both stay low."""
    low = [max(a.middle, b.middle) < LOW_MG_L for a, b in zip(water["tan"], water["no2"], strict=True)]
    if not low[-1]:
        return None
    last_high = max((day for day, is_low in enumerate(low) if not is_low), default=-1)
    first = last_high + 1
    return first if first > max(day for day, _ in peaks.values()) else None


def _eaten(ran: Forecast, on: date, settings: Settings) -> float:
    full = quantile(ran.at("full_ration_g_day", on), ran.weights, 0.5) if settings.fish else 0.0
    return min(settings.feed_g_day, full)
