"""The water the loop is filled with: what it holds, and whose limit that meets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from rillbed import facts
from rillbed.garden.errors import GardenError, one_of
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.verdict.bands import LEVELS, Band, Level
from rillbed.plan.verdict.build import shares
from rillbed.plan.verdict.evidence import evidence_of
from rillbed.plan.verdict.ladder import Ladder, Line, of_figure, of_limit
from rillbed.plan.verdict.sampling import lattice
from rillbed.tongue import tr

Kind = Literal["mains", "well", "rain", "roof"]
KINDS: tuple[Kind, ...] = ("mains", "well", "rain", "roof")
AMMONIA_PER_CHLORAMINE = facts.value("dosing.ammonia_per_chloramine")
# Field of the source water behind each code, and the quantity of a reading of it.
FIELDS = {
    "chlorine": ("free_chlorine_mg_l", "chlorine"), "chloramine": ("chloramine_mg_l", ""), "tan": ("", "tan"),
    "alkalinity": ("alkalinity_meq_l", "alkalinity"), "ph": ("ph", "ph"), "hardness": ("", "gh"),
    "na": ("na_mg_l", "na"), "cl": ("cl_mg_l", "cl"), "ca": ("ca_mg_l", "ca"), "s": ("so4_s_mg_l", "s"),
    "no3_n": ("no3_n_mg_l", "no3"), "copper": ("", ""), "zinc": ("", ""),
}  # fmt: skip
MEQ_PER_MG = {"ca": 2.0 / facts.value("atoms.ca"), "mg": 2.0 / facts.value("atoms.mg")}


@dataclass(frozen=True)
class SourceFacts:
    """What else is known of the source water; ``None`` = unknown.

    Attributes
    ----------
    kind : str or None
        ``mains``, ``well``, ``rain`` (straight into a clean vessel) or ``roof`` (run off a roof).
    stood : bool
        Whether it stands with air for a day or more before use.
    tan_mg_l, copper_mg_l, zinc_mg_l : float or None
        Ammonia-N, copper and zinc, mg/L, 0 to 1000.
    temp_c : float or None
        Temperature as it goes in, degC.

    Raises
    ------
    GardenError
        For an impossible value, naming what is allowed.
    """

    kind: Kind | None = None
    stood: bool = False
    tan_mg_l: float | None = None
    copper_mg_l: float | None = None
    zinc_mg_l: float | None = None
    temp_c: float | None = None

    def __post_init__(self) -> None:
        if self.kind is not None and self.kind not in KINDS:
            raise GardenError("kind", self.kind, one_of(KINDS))
        for name, low, high in (
            ("tan_mg_l", 0.0, 1000.0), ("copper_mg_l", 0.0, 1000.0), ("zinc_mg_l", 0.0, 1000.0), ("temp_c", -2.0, 50.0),
        ):  # fmt: skip
            value = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise GardenError(name, value, tr("must lie between {low:g} and {high:g}").format(low=low, high=high))


@dataclass(frozen=True)
class Held:
    """What the source holds, by code: (low, high), canonical units, and the age of a reading where there is one."""

    values: Mapping[str, tuple[float, float]]
    ages: Mapping[str, int]

    def worst(self, code: str) -> float | None:
        """Highest value, ``None`` where nobody knows."""
        return self.values[code][1] if code in self.values else None


def held(system: System, log: Sequence[LogEntry], on: date, more: SourceFacts) -> Held:
    """Gather the source water: a test of it in the log before what the system says, that before nothing."""
    values: dict[str, tuple[float, float]] = {}
    ages: dict[str, int] = {}
    by_quantity = {quantity: code for code, (_, quantity) in FIELDS.items() if quantity}
    for code, (field, _) in FIELDS.items():
        told = getattr(system.source_water, field) if field else None
        if told is not None:
            values[code] = (told, told)
    for code, told in (("tan", more.tan_mg_l), ("copper", more.copper_mg_l), ("zinc", more.zinc_mg_l)):
        if told is not None:
            values[code] = (told, told)
    ca, mg = system.source_water.ca_mg_l, system.source_water.mg_mg_l
    if ca is not None and mg is not None:
        values["hardness"] = (ca * MEQ_PER_MG["ca"] + mg * MEQ_PER_MG["mg"],) * 2
    for entry in log:
        payload, day = entry.payload, system.day_of(entry.at)
        if isinstance(payload, Reading) and payload.source_water and payload.quantity in by_quantity and day <= on:
            seen = evidence_of(payload, entry.at, day, on)
            code = by_quantity[payload.quantity]
            values[code], ages[code] = (seen.least, seen.most), seen.age_days
    if more.kind in ("well", "rain", "roof"):
        for code in ("chlorine", "chloramine"):
            values.setdefault(code, (0.0, 0.0))
    return Held(values, ages)


def ladder(code: str) -> Ladder:
    """Lines for the source water itself; what mixing makes of it is worked out apart."""
    if code in ("chlorine", "chloramine"):
        line = of_limit("chlorine_ceiling", "high")
        return Ladder({"watch": line, "act": line, "danger": line})
    if code in ("na", "cl", "ca", "s"):
        return Ladder({"watch": of_limit(f"{code}_plants", "high")})
    if code == "tan":
        return Ladder({"watch": of_figure("source.ammonia_watch", "fish"), "act": of_limit("tan_loop", "high")})
    if code == "no3_n":
        return Ladder({"watch": of_limit("no3_watch", "low"), "act": of_limit("no3_act", "low")})
    if code == "alkalinity":
        below: dict[Level, Line] = {"watch": of_limit("alkalinity_good", "low")}
        return Ladder({"watch": of_limit("alkalinity_ceiling", "high")}, below)
    if code == "ph":
        return Ladder({"watch": of_limit("ph_warm_fish", "high")}, {"watch": of_limit("ph_nitrifiers", "low")})
    if code == "hardness":
        return Ladder(
            {"watch": of_figure("verdict.hardness_most", "loop")},
            {"watch": of_figure("verdict.hardness_least", "loop")},
        )
    return Ladder({"watch": of_figure(f"source.{code}_watch", "fish"), "act": of_figure(f"source.{code}_act", "fish")})


UNITS = {"alkalinity": "meq/L", "hardness": "meq/L", "ph": ""}


def bands(found: Held) -> tuple[Band, ...]:
    """Band of each thing known of the source water; the worst value a test allows decides."""
    out = []
    for code in FIELDS:
        if code not in found.values:
            continue
        low, high = found.values[code]
        lines = ladder(code)
        top = high if np.isfinite(high) else 2.0 * max(low, 1.0)
        draws = low + (top - low) * lattice("tan")
        probabilities = shares(lines.rank(draws))
        levels = [lines.level(low), lines.level(high)]
        nothing = code in ("chlorine", "chloramine") and low <= 0.0 < high
        level: Level = max(levels, key=LEVELS.index)
        reasons: tuple[Reason, ...] = ()
        if nothing and level != "safe":
            # A strip that shows nothing cannot prove it: treat, but do not call it poison.
            level, reasons = "watch", (Reason("chlorine.no_proof", {"low": low, "high": high}),)
            probabilities = shares(np.minimum(lines.rank(draws), 1))
        worst = low if lines.below and LEVELS.index(levels[0]) > LEVELS.index(levels[1]) else high
        line = lines.decided(worst)
        if level != "safe" and line.grade == "memory":
            reasons = (Reason("verdict.memory", {"limit": line.value, "unit": "mg/L", "whom": line.whom}),)
        out.append(
            Band(
                quantity=code, code=code, level=level, probabilities=probabilities, worst=worst, low=low, high=high,
                unit=UNITS.get(code, "mg/L"), limits=lines.limits, binding=line.whom, applies=True,
                age_days=found.ages.get(code), basis="reading" if code in found.ages else "told", reasons=reasons,
                grade=line.grade, sources=line.sources, facts=tuple(item.key for item in lines.lines),
            )
        )  # fmt: skip
    return tuple(out)


def ammonia_in_mg_l(found: Held) -> float:
    """Ammonia-N the water brings: its own, and what its chloramine leaves once neutralised."""
    own = found.worst("tan") or 0.0
    return own + AMMONIA_PER_CHLORAMINE * (found.worst("chloramine") or 0.0)
