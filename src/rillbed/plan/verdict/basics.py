"""Bands of what is read as it is: oxygen, temperature, hardness, conductivity, chlorine."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np

from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import lines
from rillbed.plan.verdict.bands import LEVELS, Band, Level
from rillbed.plan.verdict.build import band, shares
from rillbed.plan.verdict.sampling import lattice
from rillbed.plan.verdict.waters import Waters
from rillbed.science import oxygen as gas

# Between these hours light has added oxygen: the night takes it away again.
BY_DAY = range(10, 21)


def saturation_mg_l(system: System, temp_c: float) -> float:
    """Oxygen of water in balance with air where the loop stands, mg/L."""
    held = min(max(temp_c, 0.0), 40.0)
    return float(gas.saturation_mg_l(held, gas.station_pressure_atm(system.elevation_m)))


def oxygen(found: Waters) -> Band | None:
    """Oxygen against what the fish need and against what air gives."""
    if "oxygen" not in found.ends:
        return None
    ends = found.ends["oxygen"]
    full = saturation_mg_l(found.system, float(np.median(found.column("temperature"))))
    reasons = [Reason("o2.saturation", {"full": full, "share": 100.0 * min(ends.low / full, 9.99)})]
    seen = found.seen("oxygen")
    if ends.basis == "reading" and seen is not None and _hour(found.system, seen.at) in BY_DAY:
        reasons.append(Reason("o2.by_day", {"hour": _hour(found.system, seen.at)}))
    if ends.basis == "assumed":
        reasons.append(Reason("o2.gasping"))
    return band(
        found, "o2", "oxygen", lines.oxygen(found.who, full), found.column("oxygen"), (ends.low, ends.high), "mg/L",
        stands_on=("oxygen",), reasons=tuple(reasons),
    )  # fmt: skip


def _hour(system: System, at: datetime) -> int:
    zone = UTC if system.time_zone == "UTC" else ZoneInfo(system.time_zone)
    return at.astimezone(zone).hour


def temperature(found: Waters) -> Band | None:
    """Water temperature against the fish's range and the bacteria's."""
    ends = found.ends["temperature"]
    if ends.basis == "assumed":
        return None
    return band(
        found, "temperature", "temperature", lines.temperature(found.who), found.column("temperature"),
        (ends.low, ends.high), "degC", applies=True,
    )  # fmt: skip


def hardness(found: Waters) -> Band | None:
    """Calcium and magnesium together."""
    return _plain(found, "hardness", "gh", "meq/L")


def conductivity(found: Waters) -> Band | None:
    """All salts together."""
    return _plain(found, "ec", "ec", "mS/cm")


def _plain(found: Waters, code: str, quantity: str, unit: str) -> Band | None:
    if quantity not in found.ends:
        return None
    ends = found.ends[quantity]
    ladder = lines.hardness() if code == "hardness" else lines.ec()
    return band(found, code, quantity, ladder, found.column(quantity), (ends.low, ends.high), unit, applies=True)


def chlorine(found: Waters) -> Band | None:
    """Chlorine read in the loop. A test that shows nothing is no proof: it asks to watch, and never more."""
    seen = found.seen("chlorine")
    if seen is None or not seen.fresh:
        return None
    ladder = lines.chlorine()
    ends = found.ends["chlorine"]
    draws = found.column("chlorine")
    nothing = seen.least <= 0.0
    over = ladder.rank(draws) > 0
    ranks = np.where(over, 1 if nothing else LEVELS.index("danger"), 0)
    top: Level = "safe" if ladder.level(ends.high) == "safe" else "watch" if nothing else "act"
    levels: tuple[Level, Level] = (ladder.level(ends.low), top)
    reason = Reason("chlorine.no_proof" if nothing else "chlorine.found", {"low": ends.low, "high": ends.high})
    return band(
        found, "chlorine", "chlorine", ladder, draws, (ends.low, ends.high), "mg/L",
        ranks=ranks, end_levels=levels, applies=True, reasons=(reason,),
    )  # fmt: skip


def untreated(found: Waters, kind: str) -> Band | None:
    """Chlorine or chloramine from source water that went in untreated lately, as if none had left yet."""
    source = found.system.source_water
    held = source.free_chlorine_mg_l if kind == "chlorine" else source.chloramine_mg_l
    seen = found.seen("chlorine")
    if not held or found.untreated_l <= 0.0 or (seen is not None and seen.fresh):
        return None
    ladder = lines.chlorine()
    litres = 1000.0 * found.system.total_volume_m3
    most = held * min(found.untreated_l / litres, 1.0)
    draws = most * lattice("chlorine")
    ranks = ladder.rank(draws)
    probabilities = shares(ranks)
    line = ladder.above["danger"]
    return Band(
        "chlorine", kind, ladder.level(most), probabilities, most, 0.0, most, "mg/L", ladder.limits, "fish", True,
        None, "assumed",
        (Reason(f"{kind}.untreated", {"litres": found.untreated_l, "source": held, "most": most}),),
        line.grade, line.sources, (line.key, "verdict.untreated_days"),
    )  # fmt: skip


def chlorine_any(found: Waters) -> Band | None:
    """Chlorine as read, else as it came in."""
    return chlorine(found) or untreated(found, "chlorine")


def chloramine(found: Waters) -> Band | None:
    """Chloramine as it came in: no test of the loop tells it from free chlorine."""
    return untreated(found, "chloramine")
