"""What pH or alkalinity did after acid or a water change: the test that tells stones from tap water."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, ToppedUp, WaterChanged
from rillbed.garden.system import System
from rillbed.plan.verdict.evidence import Evidence

SETTLE = facts.fact("verdict.settle_days")
QUANTITIES = ("alkalinity", "ph")


@dataclass(frozen=True)
class Rebound:
    """Three readings around one event: before it, once it has settled, and later.

    Attributes
    ----------
    kind : str
        ``acid`` or ``change``.
    quantity : str
        ``alkalinity`` (meq/L) or ``ph``.
    before, settled, later : float
        Middles of the readings.
    days : float
        From the settled reading to the later one.
    rise : float
        Least rise between those two that the readings allow; 0 where they overlap.
    litres_in : float
        Source water that went in between them, which could have brought it.
    """

    kind: str
    quantity: str
    on: date
    before: float
    settled: float
    later: float
    days: float
    rise: float
    litres_in: float

    @property
    def came_back(self) -> bool:
        """Whether it rose again after it had settled."""
        return self.rise > 0.0


def is_acid(payload: object) -> bool:
    """Whether a log entry's payload is a dose of acid."""
    if not isinstance(payload, Dosed):
        return False
    row = facts.supplements().get(payload.substance)
    return row is not None and row.alkalinity_eq_per_g < 0.0


def rebounds(
    system: System, log: Sequence[LogEntry], history: Mapping[str, tuple[Evidence, ...]]
) -> tuple[Rebound, ...]:
    """Every dose of acid and every water change with a reading before, after it settled, and later; oldest first."""
    events = [entry for entry in log if is_acid(entry.payload) or isinstance(entry.payload, WaterChanged)]
    out = []
    for place, entry in enumerate(events):
        following = events[place + 1].at if place + 1 < len(events) else None
        for quantity in QUANTITIES:
            found = _around(system, log, entry, following, history.get(quantity, ()))
            if found is not None:
                out.append(found)
                break
    return tuple(out)


def _around(
    system: System, log: Sequence[LogEntry], entry: LogEntry, following: datetime | None, items: Sequence[Evidence]
) -> Rebound | None:
    at = entry.at
    before = [item for item in items if item.at <= at]
    early, late = (timedelta(days=end or 0.0) for end in (SETTLE.low, SETTLE.high))
    settled = [item for item in items if at + early <= item.at <= at + late]
    if not before or not settled:
        return None
    end = min(following or datetime.max.replace(tzinfo=at.tzinfo), at + timedelta(facts.value("verdict.rebound_days")))
    later = [item for item in items if settled[0].at + late <= item.at <= end]
    if not later:
        return None
    first, last = settled[0], later[-1]
    litres = sum(
        item.payload.litres
        for item in log
        if first.at < item.at <= last.at
        and (
            isinstance(item.payload, WaterChanged)
            or (isinstance(item.payload, ToppedUp) and item.payload.source == "source")
        )
    )
    return Rebound(
        kind="acid" if is_acid(entry.payload) else "change",
        quantity=first.quantity,
        on=system.day_of(at),
        before=middle(before[-1]),
        settled=middle(first),
        later=middle(last),
        days=(last.at - first.at).total_seconds() / 86400.0,
        rise=max(last.least - first.most, 0.0),
        litres_in=litres,
    )


def middle(item: Evidence) -> float:
    """Middle of a reading; the step itself where an end is open."""
    if item.low is None or item.high is None:
        step = item.high if item.low is None else item.low
        assert step is not None
        return step
    return 0.5 * (item.low + item.high)
