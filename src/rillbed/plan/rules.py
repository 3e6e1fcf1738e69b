"""Start-up decisions from intervals and from the completion days of the members; no log, no tables."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.plan.members import share

REFILL_TO_MG_L = facts.value("start.refill_to")
REFILL_BELOW_MG_L = facts.value("start.refill_below")
HOLD_NO2_MG_L = facts.value("plan.hold_no2")
CLEAR_MG_L = facts.value("start.clear_below")
TRAY_DAYS = (int(facts.value("start.tray_days_low")), int(facts.value("start.tray_days_high")))
STALE_DAYS = int(facts.value("plan.stale_days"))


@dataclass(frozen=True)
class Interval:
    """What one reading allows, in canonical units; ``None`` is an open end."""

    low: float | None
    high: float | None
    on: date

    @property
    def worst_high(self) -> float:
        """Highest value the reading allows; infinite above the kit's last step."""
        return float("inf") if self.high is None else self.high

    @property
    def worst_low(self) -> float:
        """Lowest value the reading allows."""
        return float("-inf") if self.low is None else self.low


def decide(
    tan: Interval | None,
    no2: Interval | None,
    *,
    on: date,
    dosed_before: bool,
    to_come_mg_l: float,
    organic: bool,
    unread: date | None = None,
) -> str:
    """Code of the fishless decision: dose, dosed, hold, wait, ledger, prove or first_reading.

    The worst value a reading allows decides: a refill needs the whole interval under the refill mark, a hold
    needs only its upper end at the hold mark or beyond the kit.

    Parameters
    ----------
    tan, no2 : Interval or None
        Latest readings as mg N/L.
    on : date
        Day of the decision; a reading older than three days no longer decides.
    dosed_before : bool
        Whether any ammonia source has been logged.
    to_come_mg_l : float
        Organic nitrogen added and not yet released, mg N/L.
    organic : bool
        Whether the chosen source releases its nitrogen slowly.
    unread : date or None
        Day of a dose that no ammonia reading has followed: never dose twice on one reading.
    """
    if not dosed_before:
        return "dose"
    if unread is not None:
        return "dosed" if unread >= on else "first_reading"
    if tan is None or no2 is None or (on - tan.on).days > STALE_DAYS or (on - no2.on).days > STALE_DAYS:
        return "first_reading"
    if no2.high is None or no2.high >= HOLD_NO2_MG_L:
        return "hold"
    if tan.worst_high > REFILL_BELOW_MG_L:
        return "wait"
    # The ledger, not the kit, says how much an organic source still owes.
    if organic and to_come_mg_l >= REFILL_TO_MG_L - REFILL_BELOW_MG_L:
        return "ledger"
    return "prove" if tan.worst_high <= CLEAR_MG_L and no2.worst_high <= CLEAR_MG_L else "dose"


def stage(tan: Interval | None, no2: Interval | None, *, dosed_before: bool, proven: bool) -> str:
    """Name the stage: new, ammonia, nitrite, proving or ready."""
    if proven:
        return "ready"
    if not dosed_before:
        return "new"
    if no2 is not None and no2.worst_high <= CLEAR_MG_L and tan is not None and tan.worst_high <= CLEAR_MG_L:
        return "proving"
    if no2 is not None and no2.worst_low > CLEAR_MG_L:
        return "nitrite"
    return "ammonia"


def best_sowing(
    days_to_ready: NDArray[np.float64], weights: NDArray[np.float64], horizon: int
) -> tuple[int, float] | None:
    """Day from now on which to sow so that the loop is most likely ready for a tray of three to six weeks.

    Parameters
    ----------
    days_to_ready : (members,)
        Days from now until completion, NaN when not within the horizon, negative when passed.
    weights : (members,)
        Member weights.
    horizon : int
        Latest sowing day to consider.

    Returns
    -------
    (int, float) or None
        Offset in days and the chance; the earliest of equals. ``None`` if no member completes.

    Examples
    --------
    >>> best_sowing(np.array([40.0, 50.0]), np.ones(2), 100)
    (8, 1.0)
    """
    if np.isnan(days_to_ready).all():
        return None
    ready = np.maximum(days_to_ready, 0.0)
    chances = [
        share((ready >= day + TRAY_DAYS[0]) & (ready <= day + TRAY_DAYS[1]), weights) for day in range(horizon + 1)
    ]
    best = int(np.argmax(chances))
    if chances[best] <= 0.0:
        return None
    return best, chances[best]


def to_come_mg_l(added: list[tuple[float, int, float]]) -> float:
    """Nitrogen still bound in organic additions, mg N/L.

    Parameters
    ----------
    added : list of (mg N/L, days ago, release in 1/day)
        What was added, when, and the first-order rate at which its nitrogen comes free.
    """
    return float(sum(amount * np.exp(-rate * ago) for amount, ago, rate in added if ago >= 0))
