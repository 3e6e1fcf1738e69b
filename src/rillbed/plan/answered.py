"""A fit, the forecast by its members, and what it has learned: the three that every answer starts from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from rillbed.engine import Forecast
from rillbed.fit import Posterior
from rillbed.fit.refit import Budget
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import ahead, fitted
from rillbed.plan.cycling import is_starting
from rillbed.plan.learned import Learned, learned
from rillbed.plan.look import until


@dataclass(frozen=True)
class Answered:
    """A fit of a log, its forecast, and what the fit says of itself."""

    posterior: Posterior
    forecast: Forecast
    known: Learned


def answered(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    members: int = 200,
    seed: int | None = None,
    budget: Budget = "full",
    previous: Posterior | None = None,
    progress: Callable[[float], None] | None = None,
    posterior: Posterior | None = None,
    basis: str = "",
) -> Answered:
    """Fit, run ahead and look back; arguments as in `ahead` and `fitted`.

    With `posterior` nothing is fitted: `basis` then says what it is worth, ``unread`` or ``before``.
    """
    if posterior is None:
        posterior = fitted(
            system, entries, on=on, members=members, seed=seed, budget=budget, previous=previous, progress=progress
        )
    run = ahead(system, entries, on=on, horizon_days=horizon_days, members=members, posterior=posterior)
    standing = system_at(system, entries, on)
    log = until(standing, entries, on)
    starting = is_starting(standing, state_at(standing, log, on))
    known = learned(posterior, run, quick=budget == "quick" or bool(basis), starting=starting, log=log)
    if basis and known.readings:
        known = replace(known, basis=basis)
    return Answered(posterior, run, known)
