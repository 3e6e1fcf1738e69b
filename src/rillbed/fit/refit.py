"""From a log to the members it believes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

import numpy as np

from rillbed.engine.result import Array
from rillbed.fit import sampler
from rillbed.fit.coordinates import Coordinates, possible
from rillbed.fit.evidence import Evidence, evidence_of
from rillbed.fit.posterior import Posterior
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

Budget = Literal["quick", "full"]


@dataclass(frozen=True)
class Effort:
    """Points a round, most rounds, effective points that are kept while tempering and wanted at the end."""

    size: int
    rounds: int
    temper: float
    wanted: float


WINDOW, LEAST_WINDOW = 90, 30  # days between checkpoints, and least days of evidence after one
EFFORTS: dict[str, Effort] = {"quick": Effort(300, 2, 30.0, 100.0), "full": Effort(800, 9, 80.0, 160.0)}


@dataclass(frozen=True)
class Simulator:
    """Run points through the log and hold them against it; in the workers of an executor, if there is one."""

    setting: Setting
    evidence: Evidence
    coordinates: Coordinates
    executor: Executor | None = None
    chunks: int = 2
    known: sampler.Bell | None = None

    def __call__(self, z: Array) -> sampler.Cloud:
        """Simulate the points `z`, (names, points)."""
        if self.executor is None:
            return self.one(z)
        parts = np.array_split(z, self.chunks, axis=1)
        return sampler.joined(list(self.executor.map(replace(self, executor=None).one, parts)))

    def one(self, z: Array) -> sampler.Cloud:
        """Simulate points here."""
        evidence, c = self.evidence, self.coordinates
        looks, days = evidence.looks, evidence.last_day + 1
        run = self.setting.run(c, z, days=max(days, 1), looks=looks)
        for d in range(days):
            run.day(d)
        terms, below = evidence.terms(run.seen, c, z)
        before = 0.0 if self.known is None else self.known.log_ratio(z)
        total = np.where(possible(run.first_params), evidence.weight(terms) + before, -np.inf)
        shown = [a.on_scale(run.seen) for a in evidence.answers]
        shown += [item.shown(run.seen[item.look]) for item in evidence.living]
        values = [run.seen[a.look] for a in evidence.answers]
        stacked, held = (np.stack(rows) if rows else np.zeros((0, z.shape[1])) for rows in (shown, values))
        return sampler.Cloud(z, total, stacked, terms, below, held, sizes=[z.shape[1]])


def fit(
    system: System,
    entries: Iterable[LogEntry],
    *,
    on: date,
    members: int = 500,
    seed: int | None = None,
    budget: Budget = "full",
    held_out: Iterable[str] = (),
    progress: Callable[[float], None] | None = None,
    executor: Executor | None = None,
    previous: Posterior | None = None,
    checkpoint: Posterior | None = None,
    begin: date | None = None,
) -> Posterior:
    """Fit the members of a loop to its log until the end of day `on`.

    Parameters
    ----------
    system : System
        The loop as first set up.
    entries : iterable of LogEntry
        The log in any order; corrections are resolved.
    on : date
        Last day of the log that counts.
    members : int
        Members that stand for the posterior, 2 or more.
    seed : int, optional
        Default: from the loop's name, its start and the model version, never from the log.
    budget : "quick" or "full"
        A first answer, or the whole fit.
    held_out : iterable of str
        Uuids of entries not to believe.
    progress : callable, optional
        Called with the share of the work done.
    executor : concurrent.futures.Executor, optional
        Splits every round among its workers; the members do not depend on it.
    previous : Posterior, optional
        A fit of an earlier log of this loop: a "quick" answer starts where it ended. A "full" fit never does, so that
        a corrected entry equals one never made.
    checkpoint : Posterior, optional
        A fit to an earlier day of this log, see `checkpoint_day`: then only the days after it are evidence, and what
        was known by then stands as a bell in the directions learned so far. Every member is still run from the first
        day, so its books close over the whole log.

    Raises
    ------
    ValueError
        For fewer than two members, an unknown budget, or a day outside the loop's time.
    """
    if members < 2:
        raise ValueError(f"members: {members} is too few; allowed from 2")
    if budget not in EFFORTS:
        raise ValueError(f"budget: {budget!r} is not known; allowed: {', '.join(EFFORTS)}")
    setting = Setting.of(system, list(entries), on, seed, begin)
    if checkpoint is not None:
        setting = replace(checkpoint.setting, seed=setting.seed).until(system, list(entries), on)
    out = frozenset(held_out)
    if checkpoint is not None and checkpoint.setting.on >= on:
        raise ValueError(f"checkpoint: {checkpoint.setting.on} is not before {on}; allowed is a fit to an earlier day")
    evidence = evidence_of(setting, out, after=-1 if checkpoint is None else checkpoint.setting.days)
    c = setting.coordinates(evidence.nuisances)
    if checkpoint is not None:
        missing = [name for name in checkpoint.coordinates.names if name not in c.names]
        c = setting.coordinates((*evidence.nuisances, *missing))
    effort = EFFORTS[budget]
    size = effort.size
    simulate = Simulator(setting, evidence, c, executor)
    if checkpoint is not None:
        known = checkpoint.bell_for(c)
        simulate = replace(simulate, known=known)
        first = simulate(known.draw(c.draw(setting.seed, size)))
        first.bells, first.kept = [known], known.basis
    elif not evidence.looks:
        return Posterior.of_prior(setting, evidence, c, members)
    else:
        first = simulate(c.prior(setting.first, setting.seed, size))
    same = previous is not None and previous.setting.start == setting.start  # else the paths of other months
    if previous is not None and same and budget == "quick" and set(previous.coordinates.names) <= set(c.names):
        start = previous.bell_for(c)
        first.add(simulate(start.draw(c.draw(setting.seed, size, stream="again:"))), start)
    cloud, reached = sampler.sample(
        first, simulate, lambda k: c.draw(setting.seed, size, k * size), evidence.errors, rounds=effort.rounds,
        temper=effort.temper, wanted=effort.wanted, progress=progress,
    )  # fmt: skip
    return Posterior.of(setting, evidence, c, cloud, reached, members, checkpoint)


def checkpoint_day(days: int) -> int:
    """Day of a long log that is worth keeping a fit of, to go on from; 0 for none yet."""
    return max((days - LEAST_WINDOW) // WINDOW, 0) * WINDOW
