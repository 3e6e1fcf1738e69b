"""The loop on one day, as the log tells it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.readings import Reading
from rillbed.garden.system import System


@dataclass(frozen=True)
class Weighing:
    """A weigh-in: mean weight of one fish, g."""

    at: datetime
    weight_g: float


@dataclass(frozen=True)
class FishGroup:
    """Fish that came in together; `weight_g` is the mean weight at the last weighing (or on arrival)."""

    name: str
    species: str
    count: int
    weight_g: float
    weighed_at: datetime
    arrived_at: datetime
    weighings: tuple[Weighing, ...] = ()
    died: int = 0
    taken_out: int = 0

    @property
    def biomass_g(self) -> float:
        """Mass of the group at its last weighing, g."""
        return self.count * self.weight_g


@dataclass(frozen=True)
class Planting:
    """Plants of one crop that went into one bed, or one tray, together."""

    name: str
    crop: str
    count: int
    planted_at: datetime
    stage: str
    bed: str | None = None
    tray: str | None = None
    planted_count: int = 0
    picked_g: float = 0.0
    pickings: int = 0
    last_picked_at: datetime | None = None
    removed_at: datetime | None = None

    @property
    def standing(self) -> bool:
        """Whether plants of it are still there."""
        return self.count > 0


@dataclass(frozen=True)
class TimedReading:
    """A reading with its moment and author."""

    at: datetime
    author: str
    reading: Reading


@dataclass(frozen=True)
class TimedDose:
    """A dose with its moment."""

    at: datetime
    dose: Dosed


@dataclass(frozen=True)
class LoopState:
    """Everything the log says about the loop at the end of day `on`.

    `groups` and `plantings` hold those that are left too, with count 0; `readings` are oldest first by quantity.
    """

    on: date
    system: System
    feed: str | None
    groups: dict[str, FishGroup] = field(default_factory=dict)
    plantings: dict[str, Planting] = field(default_factory=dict)
    trays: dict[str, Planting] = field(default_factory=dict)
    readings: dict[str, tuple[TimedReading, ...]] = field(default_factory=dict)
    temperatures: tuple[tuple[datetime, float], ...] = ()
    doses: tuple[TimedDose, ...] = ()
    fed_g_by_day: dict[date, float] = field(default_factory=dict)
    meals_today: int = 0
    stopped: dict[tuple[str, str], datetime] = field(default_factory=dict)
    last: dict[str, LogEntry] = field(default_factory=dict)

    @property
    def fed_g_today(self) -> float:
        """Feed given on day `on`, g."""
        return self.fed_g_by_day.get(self.on, 0.0)

    @property
    def fish_count(self) -> int:
        """Fish alive in all groups."""
        return sum(group.count for group in self.groups.values())

    @property
    def biomass_g(self) -> float:
        """Mass of all fish at their last weighings, g."""
        return sum(group.biomass_g for group in self.groups.values())

    def last_of(self, kind: str) -> LogEntry | None:
        """Return the last entry of a kind, None if there is none."""
        return self.last.get(kind)

    def last_reading(self, quantity: str) -> TimedReading | None:
        """Return the last reading of a quantity in the loop, None if there is none."""
        found = self.readings.get(quantity, ())
        return found[-1] if found else None
