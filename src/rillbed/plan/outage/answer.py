"""What comes back about oxygen: hours by tank, case and kind, what to do in order, batteries, and warm days ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rillbed.plan.advice import Reason
from rillbed.plan.doses.answer import cited


@dataclass(frozen=True)
class Minutes:
    """Time until a level of oxygen, minutes: cautious (nine members in ten last longer), middle, hopeful.

    Infinite where the surface alone keeps the level up.
    """

    cautious: float
    middle: float
    hopeful: float


@dataclass(frozen=True)
class Lasts:
    """How long one kind of fish lasts in one tank in one case.

    ``case`` is day or night, ``fed`` whether a meal lies within six hours; ``stress`` is the time to the least oxygen
    the kind should have, ``critical`` to what it barely survives.
    """

    species: str
    case: str
    fed: bool
    stress: Minutes
    critical: Minutes


@dataclass(frozen=True)
class Air:
    """Battery air for one tank, sized for fed fish: air, pump power, and a battery for the night."""

    need_g_h: float
    air_l_min: float
    watts: float
    battery_ah: float
    hours: float
    pour_l_min: float


@dataclass(frozen=True)
class TankLife:
    """One tank: how full it is, how long its fish last, and the air that would hold them."""

    name: str
    volume_l: float
    biomass_g: float
    density_kg_m3: float
    temp_c: float
    start_mg_l: float
    use_mg_l_h: float
    lasts: tuple[Lasts, ...]
    air: Air

    @property
    def first_minutes(self) -> float:
        """Cautious minutes of the kind that fails first, in the worst case."""
        return min((item.critical.cautious for item in self.lasts), default=float("inf"))


@dataclass(frozen=True)
class Act:
    """One thing to do: by when, minutes from the failure, its amount, and the cautions bound to it."""

    code: str
    by_minutes: float
    tank: str | None = None
    amount: float | None = None
    unit: str = ""
    why: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class WarmDay:
    """One day ahead: air, water, oxygen in it by day and at dawn, and what to do about each kind of fish."""

    day: int
    air_low_c: float
    air_high_c: float
    water_c: float
    water_peak_c: float
    saturation_mg_l: float
    o2_low_mg_l: float
    advice: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class Outlook:
    """The whole answer; tanks are ordered, the one that fails first before the others."""

    system: str
    on: date
    tanks: tuple[TankLife, ...]
    acts: tuple[Act, ...]
    warm: tuple[WarmDay, ...] = ()
    notes: tuple[Reason, ...] = ()
    facts: tuple[str, ...] = ()

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the published sources behind the figures used, each once."""
        return cited(self.facts)
