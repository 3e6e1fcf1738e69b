"""What runs short next and when: the first day each member falls under the floor, and what closes the gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import Band
from rillbed.plan.look import latest, until
from rillbed.plan.members import band, date_quantile, quantile, share
from rillbed.plan.nutrients import COLUMN, FLOORS, ORDER, QUANTITY, STALE_DAYS
from rillbed.plan.shelf import BRINGERS

Floats = NDArray[np.float64]
# Days over which the present drift is told.
DRIFT_DAYS = 14


@dataclass(frozen=True)
class Shortage:
    """One element and the day it runs short.

    Attributes
    ----------
    element : str
        n, fe, k, ca, mg or p.
    floor_mg_l, target_mg_l : float
        Least that plants need, and the lower end of the working target.
    now_mg_l : Band
        In the water the evening before, the last reading of the past fortnight taken into account.
    read_on : date or None
        Day of that reading.
    dates : tuple of (date or None)
        Days by which 10, 50 and 90 % of the members are under the floor; ``None`` past the horizon.
    chance : float
        Share of the members that fall under the floor within the horizon.
    chance_soon : float
        The same within a fortnight.
    per_day_mg_l : Band
        Change a day over the next fortnight.
    closed_by : tuple of str
        Supplies that bring it, those on the shelf first; empty for nitrogen, which feed brings.
    """

    element: str
    floor_mg_l: float
    target_mg_l: float
    now_mg_l: Band
    read_on: date | None
    dates: tuple[date | None, date | None, date | None]
    chance: float
    chance_soon: float
    per_day_mg_l: Band
    closed_by: tuple[str, ...]

    @property
    def is_short(self) -> bool:
        """Whether the middle of what is there is under the floor."""
        return self.now_mg_l.middle < self.floor_mg_l


def course(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date, element: str) -> Floats:
    """Course of an element from the evening before ``on``, mg/L, (days, members).

    A reading of the past fortnight moves each member by as much as it stood outside of what was read; iron, which is
    lost in proportion, by the same factor.
    """
    first = max(0, forecast.index(on) - 1)
    table = np.asarray(forecast.columns[COLUMN[element]], float)
    ahead = table[first:]
    seen = latest(system, until(system, entries, on), QUANTITY[element])
    if seen is None or not 0 <= (on - seen.on).days <= STALE_DAYS:
        return ahead
    # A reading was made in the water of its day before anything was put in: the evening before.
    then = table[max(0, min(forecast.index(seen.on) - 1, first))]
    held = np.clip(then, seen.low, seen.high) if (seen.low, seen.high) != (None, None) else then
    if element == "fe":
        return ahead * np.where(then > 1e-6, held / np.maximum(then, 1e-6), 1.0)
    return np.asarray(np.maximum(ahead + (held - then), 0.0))


def shortages(
    system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date, *, shelf: Sequence[str] | None = None
) -> tuple[Shortage, ...]:
    """Every element that limits plants, in the order in which they run short: what comes first stands first."""
    own = tuple(system.shelf if shelf is None else shelf)
    log = until(system, entries, on)
    limits, w = facts.water_limits(), forecast.weights
    found = []
    for element, floor in FLOORS.items():
        target = limits[f"{QUANTITY[element]}_target"].low
        assert target is not None
        path = course(system, entries, forecast, on, element)
        under = path < floor
        days = np.where(under.any(axis=0), under.argmax(axis=0).astype(float), np.nan)
        start = on if forecast.index(on) == 0 else date.fromordinal(on.toordinal() - 1)
        q10, q50, q90 = (_not_before(on, date_quantile(days, w, start, q)) for q in (0.1, 0.5, 0.9))
        last = min(DRIFT_DAYS, len(path) - 1)
        drift = (path[last] - path[0]) / max(last, 1)
        seen = latest(system, log, QUANTITY[element])
        found.append(
            Shortage(
                element,
                floor,
                target,
                band(path[0], w),
                seen.on if seen is not None and 0 <= (on - seen.on).days <= STALE_DAYS else None,
                (q10, q50, q90),
                share(under.any(axis=0), w),
                share(under[: DRIFT_DAYS + 1].any(axis=0), w),
                band(drift, w),
                _closers(element, own),
            )
        )
    usual = ("fe", "k", "ca", "mg", "n", "p")
    return tuple(sorted(found, key=lambda item: (-item.chance_soon, _rank(item), usual.index(item.element))))


def _not_before(on: date, day: date | None) -> date | None:
    return None if day is None else max(on, day)


def _rank(item: Shortage) -> tuple[float, float]:
    middle = item.dates[1]
    return (float("inf") if middle is None else float(middle.toordinal()), -item.chance)


def _closers(element: str, shelf: tuple[str, ...]) -> tuple[str, ...]:
    """Supplies that bring an element: plain ones, and bases, which do it beside raising alkalinity."""
    if element not in ORDER:
        return ()
    table = facts.supplements()
    names = [*BRINGERS[element]]
    names += [
        name
        for name, row in table.items()
        if row.kind == "base" and float(getattr(row, f"{element}_pct")) > 0.0 and name not in names
    ]
    return tuple(sorted(names, key=lambda name: (name not in shelf, names.index(name))))


def low_mg_l(path: Floats, weights: Floats, day: int, q: float) -> float:
    """Quantile of a course on a day counted from its beginning, mg/L."""
    return quantile(path[min(day, len(path) - 1)], weights, q)
