"""Where a reading speaks against the ledger: what was read, what the books foresaw, and how many grams lie between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import Band
from rillbed.plan.look import readings, until
from rillbed.plan.members import quantile
from rillbed.plan.nutrients import COLUMN as LIMITING_COLUMN
from rillbed.plan.nutrients import QUANTITY

QUANTITIES = {QUANTITY[e]: LIMITING_COLUMN[e] for e in QUANTITY} | {
    "s": "s_mg_l", "na": "na_mg_l", "cl": "cl_mg_l",
}  # fmt: skip
TAIL = 0.05
DAYS_BACK = 60


@dataclass(frozen=True)
class Against:
    """One reading that no more than one member in twenty could have foreseen.

    Attributes
    ----------
    element : str
        What was read (``n`` as nitrate).
    on : date
        Day of the reading.
    low_mg_l, high_mg_l : float or None
        What was read, as a range; ``None``: open.
    foreseen_mg_l : Band
        5, 50 and 95 % points of the members the evening before (or at any later moment of that day).
    side : str
        ``less`` or ``more`` than the books foresaw.
    gap_g : float
        Grams in the whole water between the nearer end of the reading and the nearer end of the range.
    suspects : tuple of str
        What could explain it, likeliest to be found first, codes.
    """

    element: str
    on: date
    low_mg_l: float | None
    high_mg_l: float | None
    foreseen_mg_l: Band
    side: str
    gap_g: float
    suspects: tuple[str, ...]


# What to look into. What came without being written down; what left unseen; a wrong figure; a wrong kit.
MORE = ("dose_not_logged", "source_water_richer", "feed_richer", "stones_dissolve", "kit")
LESS = ("water_left", "source_water_poorer", "feed_poorer", "fell_out", "plants_took_more", "kit")
_ONLY = {"stones_dissolve": ("ca", "mg"), "fell_out": ("fe", "p", "ca"), "plants_took_more": ("n", "k", "p", "mg")}
_NEVER = {"feed_richer": ("fe",), "feed_poorer": ("fe", "ca")}


def against(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> tuple[Against, ...]:
    """Find readings of the last sixty days that the ledger cannot explain, latest first."""
    log = until(system, entries, on)
    out: list[Against] = []
    for quantity, column in QUANTITIES.items():
        element = column.removesuffix("_mg_l").replace("no3", "n")
        for seen in readings(system, log, quantity):
            if not 0 <= (on - seen.on).days <= DAYS_BACK or forecast.index(seen.on) == 0:
                continue
            # What was put in on that day may have gone in before the reading or after it: both ends of the day count.
            row = forecast.index(seen.on)
            ends = np.asarray(forecast.columns[column][row - 1 : row + 1], float)
            low, high = ends.min(axis=0), ends.max(axis=0)
            w = forecast.weights
            foreseen = Band(quantile(low, w, TAIL), quantile(ends.mean(axis=0), w, 0.5), quantile(high, w, 1.0 - TAIL))
            volume = quantile(forecast.columns["volume_m3"][row], w, 0.5)
            if seen.high is not None and seen.high < foreseen.low:
                side, gap = "less", foreseen.low - seen.high
            elif seen.low is not None and seen.low > foreseen.high:
                side, gap = "more", seen.low - foreseen.high
            else:
                continue
            why = _suspects(element, side)
            out.append(Against(element, seen.on, seen.low, seen.high, foreseen, side, gap * volume, why))
    return tuple(sorted(out, key=lambda item: (-item.on.toordinal(), item.element)))


def _suspects(element: str, side: str) -> tuple[str, ...]:
    codes = MORE if side == "more" else LESS
    return tuple(
        code for code in codes if element in _ONLY.get(code, (element,)) and element not in _NEVER.get(code, ())
    )
