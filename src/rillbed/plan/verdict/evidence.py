"""What the log says on each quantity lately: an interval with its age, and whether N or the ion was meant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from rillbed import facts
from rillbed.garden.chains import Told
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES, canonical
from rillbed.garden.readings import Reading, Temperature
from rillbed.garden.system import System

# Readings of nitrogen go stale in days, of salts and buffer in weeks, of oxygen and chlorine within the day.
STALE_DAYS = {
    "tan": "plan.stale_days", "no2": "plan.stale_days", "ph": "plan.stale_days", "temperature": "plan.stale_days",
    "oxygen": "plan.retest_days", "chlorine": "plan.retest_days",
}  # fmt: skip
OPEN = {"ph": ("verdict.ph_open_low", "verdict.ph_open_high")}


@dataclass(frozen=True)
class Evidence:
    """One reading: what it allows, canonical units, open ends as ``None``.

    `ion` is the same interval had the kit counted the ion, where nobody knows; `noise` is the kit's own error: a
    share of the value on the log scale, and an amount.
    """

    quantity: str
    low: float | None
    high: float | None
    at: datetime
    on: date
    age_days: int
    ion: tuple[float | None, float | None] | None = None
    noise_ln: float = 0.0
    noise_abs: float = 0.0

    @property
    def fresh(self) -> bool:
        """Whether it still decides by itself."""
        return self.age_days <= facts.value(STALE_DAYS.get(self.quantity, "plan.buffer_stale_days"))

    @property
    def least(self) -> float:
        """Lowest value to reckon with: an open end goes down to the least there can be."""
        if self.low is None:
            return self._end(0)
        return self.low if self.ion is None or self.ion[0] is None else min(self.low, self.ion[0])

    @property
    def most(self) -> float:
        """Highest value to reckon with: infinite above the last step of a kit, but for pH."""
        return self._end(1) if self.high is None else self.high

    def _end(self, side: int) -> float:
        if self.quantity in OPEN:
            bound = facts.value(OPEN[self.quantity][side])
            # A kit whose last step lies beyond the bound pushes it on.
            step = self.high if side == 0 else self.low
            return bound if step is None else (min(bound, step) if side == 0 else max(bound, step))
        return max(QUANTITIES[self.quantity].low, 0.0) if side == 0 else float("inf")


def evidence_of(payload: Reading, at: datetime, on: date, today: date) -> Evidence:
    """Evidence of one reading."""
    low, high = payload.interval
    kind = QUANTITIES[payload.quantity]
    ion = None
    if payload.basis is None and kind.ion is not None:
        ends = [
            None if end is None else canonical(payload.quantity, end, payload.unit, "ion") * payload.dilution
            for end in (payload.low, payload.high)
        ]
        ion = (ends[0], ends[1])
    noise = _noise(payload)
    return Evidence(payload.quantity, low, high, at, on, (today - on).days, ion, *noise)


def gather(system: System, log: Sequence[LogEntry], today: date) -> dict[str, tuple[Evidence, ...]]:
    """All readings of the loop until ``today`` by quantity, oldest first; ``log`` holds effective entries in order."""
    if isinstance(log, Told):
        return log.once("evidence", (today, system), lambda: _gather(system, log, today))
    return _gather(system, log, today)


def _gather(system: System, log: Sequence[LogEntry], today: date) -> dict[str, tuple[Evidence, ...]]:
    found: dict[str, list[Evidence]] = {}
    for entry in log:
        payload = entry.payload
        if not isinstance(payload, Reading | Temperature) or (on := system.day_of(entry.at)) > today:
            continue
        if isinstance(payload, Reading) and not payload.source_water:
            found.setdefault(payload.quantity, []).append(evidence_of(payload, entry.at, on, today))
        elif isinstance(payload, Temperature) and payload.where == "water":
            ends = [
                canonical("temperature", value, payload.unit, None)
                for value in (payload.low, payload.value, payload.high)
                if value is not None
            ]
            item = Evidence("temperature", min(ends), max(ends), entry.at, on, (today - on).days)
            found.setdefault("temperature", []).append(item)
    return {quantity: tuple(items) for quantity, items in found.items()}


def _noise(payload: Reading) -> tuple[float, float]:
    """Error of the kind of test used, from the neutral table: (log scale, amount in canonical units)."""
    # A bare number of a quantity without a listed meter is taken at its word.
    meter = payload.low == payload.high
    rows = [row for row in facts.kits().values() if row.quantity == payload.quantity and (row.kind == "meter") == meter]
    if not rows:
        return 0.0, 0.0
    row = rows[0]
    amount = 0.0
    if row.noise_abs is not None:
        amount = canonical(payload.quantity, row.noise_abs, row.unit, None)
    return row.noise_ln_sd or 0.0, amount
