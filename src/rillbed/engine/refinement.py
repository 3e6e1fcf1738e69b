"""Is the step short enough for this loop: a few members at the step and at half of it, in steps of a test kit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed.engine.future import Future
from rillbed.engine.result import Array, Forecast
from rillbed.engine.run import forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

PILOT = 16  # members
TOLERANCE = 0.3  # of a kit step
FINEST = 192  # steps a day, 7.5 minutes
# Smallest step of a neutral 1-2-5 kit: this much at the low end, half the value above it; pH in quarter units.
LEAST = {"tan_mg_l": 0.1, "no2_mg_l": 0.1, "no3_mg_l": 2.0, "ph": 0.25}
SERIES_SHARE = 0.5


@dataclass(frozen=True)
class Refinement:
    """Outcome of a check.

    Attributes
    ----------
    steps_per_day : int
        Coarsest number of steps that passed, or the finest tried.
    errors : dict of str to float
        Largest difference to half the step over members and days, by column, in kit steps.
    passed : bool
        Whether every error is within the tolerance.
    """

    steps_per_day: int
    errors: dict[str, float]
    passed: bool


def refine(
    system: System,
    entries: Iterable[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    seed: int | None = None,
    future: Future | None = None,
    steps_per_day: int = 24,
) -> Refinement:
    """Halve the step until halving it once more changes no reading by as much as could be seen.

    Parameters
    ----------
    system, entries, on, horizon_days, seed, future
        As in `forecast`.
    steps_per_day : int
        Where to begin, 1 to `FINEST`.

    Raises
    ------
    ValueError
        As `forecast`, and for a number of steps that is out of range.
    """
    if not 1 <= steps_per_day <= FINEST:
        raise ValueError(f"steps_per_day: {steps_per_day} is not possible; allowed 1 to {FINEST}")
    log = list(entries)

    def at(steps: int) -> Forecast:
        return forecast(system, log, on=on, horizon_days=horizon_days, members=PILOT, seed=seed, future=future,
                        steps_per_day=steps)  # fmt: skip

    coarse, steps = at(steps_per_day), steps_per_day
    while True:
        fine = at(2 * steps)
        errors = {name: float(np.max(in_kit_steps(name, coarse, fine))) for name in LEAST}
        passed = max(errors.values()) <= TOLERANCE
        if passed or 2 * steps > FINEST:
            return Refinement(steps, errors, passed)
        coarse, steps = fine, 2 * steps


def in_kit_steps(name: str, coarse: Forecast, fine: Forecast) -> Array:
    """Difference of two forecasts of one column, in steps a kit could tell apart, (days + 1, members)."""
    a, b = (f.columns[name].astype(np.float64) for f in (coarse, fine))
    share = 0.0 if name == "ph" else SERIES_SHARE
    return np.asarray(np.abs(a - b) / np.maximum(LEAST[name], share * b))
