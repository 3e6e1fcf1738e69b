"""Many changes of one plan at once: bulk work goes to whatever executor the caller has."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from datetime import date

from rillbed.fit import Posterior
from rillbed.garden.change import Change
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import fitted
from rillbed.plan.whatif import Comparison, compare


@dataclass(frozen=True)
class _One:
    """One comparison, as it travels to a worker: nothing but the change differs from one to the next."""

    system: System
    entries: tuple[LogEntry, ...]
    on: date
    posterior: Posterior
    horizon_days: int
    members: int

    def __call__(self, change: Change) -> Comparison:
        return compare(
            self.system, self.entries, change, self.on, posterior=self.posterior, horizon_days=self.horizon_days,
            members=self.members,
        )  # fmt: skip


def sweep(
    system: System,
    entries: Sequence[LogEntry],
    changes: Sequence[Change],
    on: date,
    *,
    posterior: Posterior | None = None,
    horizon_days: int = 182,
    members: int = 200,
    seed: int | None = None,
    executor: Executor | None = None,
) -> tuple[Comparison, ...]:
    """Compare every change with the plan, each with the same members and the same luck.

    Parameters
    ----------
    changes : sequence of Change
        Answers come back in this order.
    executor : concurrent.futures.Executor, optional
        Threads, a pool of processes, or the executor of a cluster; left out: one after the other, here. The answers do
        not depend on it.
    posterior, horizon_days, members, seed
        As in `compare`; without a fit one is made, once.

    Raises
    ------
    GardenError, ValueError
        As `compare`, for the first change that cannot be.

    Examples
    --------
    With a pool of processes::

        with ProcessPoolExecutor() as pool:
            found = sweep(system, entries, changes, today, posterior=known, executor=pool)

    With the extra ``bulk``, on a cluster::

        with distributed.Client(address) as client:
            found = sweep(system, entries, changes, today, posterior=known, executor=client.get_executor())
    """
    known = fitted(system, entries, on=on, members=members, seed=seed) if posterior is None else posterior
    one = _One(system, tuple(entries), on, known, horizon_days, members)
    return tuple(map(one, changes) if executor is None else executor.map(one, changes))
