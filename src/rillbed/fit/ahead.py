"""The forecast of a loop by the members its log believes."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import date

import numpy as np

from rillbed.engine import MODEL_VERSION, Forecast, Future, pack
from rillbed.engine.run import days_of, default_future, start_of, stop_reason
from rillbed.fit.posterior import Posterior
from rillbed.fit.refit import Budget, fit
from rillbed.fit.window import begin_of
from rillbed.garden.fold import digest
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System


def forecast(
    system: System,
    entries: Iterable[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    members: int = 200,
    seed: int | None = None,
    future: Future | None = None,
    posterior: Posterior | None = None,
    budget: Budget = "quick",
) -> Forecast:
    """Run the members that the log believes from the loop's start to `on` plus the horizon.

    Parameters
    ----------
    system, entries, on, horizon_days, members, seed, future
        As in `engine.forecast`.
    posterior : Posterior, optional
        A fit of this loop; it may be older than `on`: then what was logged since moves the members' course, not their
        weight. Default: fitted here with `budget`.

    Returns
    -------
    Forecast
        As of the engine; all members weigh the same.

    Raises
    ------
    ValueError
        As `engine.forecast` and `fit`.
    """
    log = list(entries)
    if members < 1:
        raise ValueError(f"members: {members} is too few; allowed from 1")
    days_of(begin_of(start_of(system, log, on), on), on, horizon_days)
    if posterior is None:
        posterior = fit(system, log, on=on, members=max(members, 2), seed=seed, budget=budget)
    setting = posterior.setting.until(system, log, on)
    days = days_of(setting.start, on, horizon_days)
    future = future or default_future(setting.now, setting.start, on, setting.away)
    c, z = posterior.extended(setting, days, members)
    run = setting.run(c, z, days=days + 1, future=future)
    for d in range(days + 1):
        run.day(d)
    read = digest([*setting.earlier, *setting.entries])
    story = (
        f"{MODEL_VERSION}|{system.model_dump_json()}|{read}|{posterior.digest}|{members}|{future}|{on}|{horizon_days}"
    )
    return Forecast(
        start=setting.start, on=on, days=days, members=members, weights=np.full(members, 1.0 / members),
        columns=run.columns, completion=run.completion, params=dict(run.first_params), ledger=run.books.worst,
        booked=run.booked, first_g=run.books.first, stop=stop_reason(run, horizon_days),
        digest=hashlib.sha256(story.encode()).hexdigest(), notes=pack.assumed(setting.now),
    )  # fmt: skip
