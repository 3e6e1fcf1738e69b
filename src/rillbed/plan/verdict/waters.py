"""The waters to judge: readings, plausible draws and the ends each quantity is reckoned with, in one place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, ToppedUp, WaterChanged
from rillbed.garden.system import System
from rillbed.plan.members import quantile
from rillbed.plan.verdict.evidence import Evidence, gather
from rillbed.plan.verdict.sampling import COUNT, Floats, Samples, draw
from rillbed.plan.verdict.who import Who

EVEN = [1.0] * COUNT
BASES = ("reading", "model", "assumed")
# Outer points of what the members say where nobody read a quantity.
OUTER = (0.05, 0.95)
UNREAD_TEMPERATURE_C = (10.0, 32.0)


@dataclass(frozen=True)
class Ends:
    """What a quantity is reckoned with: ends, what they stand on, and the age of the reading if there is one."""

    low: float
    high: float
    basis: str
    age_days: int | None


@dataclass(frozen=True)
class Waters:
    """Everything known of the water on one day.

    `history` holds all readings by quantity, oldest first; `ends` and `samples` what the bands are made from;
    `untreated_l` is the source water that went in untreated lately, `changed_at` when water or a dose went in.
    """

    system: System
    who: Who
    on: date
    history: Mapping[str, tuple[Evidence, ...]]
    ends: Mapping[str, Ends]
    samples: Samples
    untreated_l: float = 0.0
    changed_at: tuple[datetime, ...] = ()

    def seen(self, quantity: str) -> Evidence | None:
        """Latest reading of a quantity."""
        items = self.history.get(quantity, ())
        return items[-1] if items else None

    def weakest(self, *quantities: str) -> tuple[str, int | None]:
        """Basis of the weakest of several quantities, and the age of the oldest reading among them."""
        ends = [self.ends[name] for name in quantities if name in self.ends]
        ages = [item.age_days for item in ends if item.age_days is not None]
        return max((item.basis for item in ends), key=BASES.index), max(ages, default=None)

    def column(self, quantity: str) -> Floats:
        """Draws of a quantity, (COUNT,)."""
        return self.samples[quantity]


def waters(
    system: System,
    who: Who,
    log: Sequence[LogEntry],
    forecast: Forecast | None,
    on: date,
    more: Mapping[str, tuple[float, float]] | None = None,
) -> Waters:
    """Draw plausible waters and set the ends.

    A fresh reading gives the ends by itself. Where a stale one is all there is the members draw the waters, and the
    ends take in both: a member may only make a verdict stricter. ``more`` holds further ranges to assume.
    """
    history = gather(system, log, on)
    latest = {quantity: items[-1] for quantity, items in history.items()}
    samples = draw(latest, forecast, on, assumed(system, on) | dict(more or {}))
    ends = {quantity: _ends(quantity, latest.get(quantity), samples) for quantity in samples.values}
    changes = [entry for entry in log if isinstance(entry.payload, WaterChanged | ToppedUp | Dosed)]
    return Waters(
        system, who, on, history, ends, samples, _untreated_l(system, changes, on), tuple(item.at for item in changes)
    )


def _untreated_l(system: System, changes: Sequence[LogEntry], on: date) -> float:
    """Litres of source water that went in untreated lately."""
    total = 0.0
    for entry in changes:
        payload = entry.payload
        if (on - system.day_of(entry.at)).days > facts.value("verdict.untreated_days"):
            continue
        from_source = isinstance(payload, WaterChanged) or (
            isinstance(payload, ToppedUp) and payload.source == "source"
        )
        if isinstance(payload, WaterChanged | ToppedUp) and from_source and not payload.treated:
            total += payload.litres
    return total


def assumed(system: System, on: date) -> dict[str, tuple[float, float]]:
    """Ranges reckoned with where neither a reading nor the model speaks: pH, and temperature by month or heater."""
    temperature = UNREAD_TEMPERATURE_C
    if system.water_temp_c is not None:
        month = system.water_temp_c[on.month - 1]
        temperature = (month, month)
    elif system.heater_set_c is not None:
        temperature = (system.heater_set_c, system.heater_set_c)
    return {
        "ph": (facts.value("verdict.ph_unread_low"), facts.value("verdict.ph_open_high")),
        "temperature": temperature,
    }


def _ends(quantity: str, seen: Evidence | None, samples: Samples) -> Ends:
    basis = samples.basis[quantity]
    drawn = samples[quantity]
    if basis == "reading":
        assert seen is not None
        return Ends(seen.least, seen.most, basis, seen.age_days)
    if basis == "assumed":
        return Ends(float(drawn.min()), float(drawn.max()), basis, None)
    low, high = (quantile(drawn, EVEN, q) for q in OUTER)
    if seen is not None and seen.age_days <= facts.value("plan.buffer_stale_days"):
        return Ends(min(low, seen.least), max(high, seen.most), basis, seen.age_days)
    return Ends(low, high, basis, None)


def missing(found: Waters, wanted: Sequence[str]) -> tuple[str, ...]:
    """Quantities of ``wanted`` that no fresh reading stands behind."""
    return tuple(name for name in wanted if name not in found.ends or found.ends[name].basis != "reading")
