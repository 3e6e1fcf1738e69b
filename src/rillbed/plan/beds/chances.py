"""The promised share of members: which budgets a plan must keep, found round by round, then checked on all members."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rillbed.plan.beds.problem import Option, Problem, Row, Solution, solve
from rillbed.plan.members import share

Floats = NDArray[np.float64]
ROUNDS = 6
RELAXED_ROUNDS = 15
CUTS = 3  # weeks cut at once per member and element
SLACK = 1e-6


@dataclass(frozen=True)
class Chances:
    """Stores (weeks, members) and draws of a plant (kinds, weeks, members) by element, g; the kind of each option."""

    stores: Mapping[str, Floats]
    draws: Mapping[str, Floats]
    kinds: NDArray[np.intp]
    weights: Floats
    confidence: float

    def taken(self, plants: Floats) -> dict[str, Floats]:
        """Draw of a whole plan by element, g, (weeks, members)."""
        sums = {e: np.bincount(self.kinds, plants, len(table)).astype(table.dtype) for e, table in self.draws.items()}
        return {e: np.asarray(np.tensordot(sums[e], table, axes=1)) for e, table in self.draws.items()}

    def use(self, plants: Floats) -> Floats:
        """Largest draw of a plan over what is there, per member; above 1 a budget is broken."""
        members = len(self.weights)
        worst = np.zeros(members)
        for element, taken in self.taken(plants).items():
            with np.errstate(divide="ignore", invalid="ignore"):
                ratio = np.where(taken > SLACK, taken / self.stores[element], 0.0)
            worst = np.maximum(worst, ratio.max(axis=0, initial=0.0))
        return worst

    def kept(self, plants: Floats) -> float:
        """Share of the members that keep every budget."""
        return share(self.use(plants) <= 1.0 + SLACK, self.weights)

    def cuts(self, plants: Floats) -> list[Row]:
        """Budgets this plan breaks among the members that must keep theirs: those it asks least of."""
        use = self.use(plants)
        order = np.argsort(use, kind="stable")
        before = np.cumsum(self.weights[order]) - self.weights[order]
        needed = order[before < self.confidence * self.weights.sum() * (1.0 - 1e-12)]
        taken, rows = self.taken(plants), []
        for member in needed[use[needed] > 1.0 + SLACK]:
            for element, table in taken.items():
                over = table[:, member] - self.stores[element][:, member]
                for week in np.argsort(-over)[:CUTS]:
                    if over[week] > SLACK:
                        name = ("element", (element, int(week), int(member)))
                        each = self.draws[element][self.kinds, week, member].astype(float)
                        rows.append(Row(each, float(self.stores[element][week, member]), name))
        return rows


@dataclass(frozen=True)
class Held:
    """A plan that keeps its promise, the problem with the budgets that were needed, and the rounds it took."""

    solution: Solution
    problem: Problem
    kept: float
    rounds: int


def keep(problem: Problem, chances: Chances, *, gap: float, nodes: int | None, seconds: float | None) -> Held:
    """Solve until the promised share of members keeps every budget.

    Notes
    -----
    The relaxed programme finds most of the budgets that matter, cheaply; the whole one adds the rest. Should it not
    get there, the plan is thinned out until it does, which is always possible where nothing is locked: every draw is
    linear in the plants.
    """
    for _ in range(RELAXED_ROUNDS):
        relaxed = solve(problem, whole=False)
        rows = chances.cuts(relaxed.plants)
        if not rows:
            break
        problem = problem.with_rows(rows)
    found, rounds = None, 0
    while rounds < ROUNDS:
        rounds += 1
        found = solve(problem, gap=gap, nodes=nodes, seconds=None if seconds is None else seconds / ROUNDS)
        rows = chances.cuts(found.plants)
        if not rows:
            return Held(found, problem, chances.kept(found.plants), rounds)
        problem = problem.with_rows(rows)
    assert found is not None
    return _thinned(problem, chances, found.plants, found.bound, rounds, gap, nodes)


def _thinned(
    problem: Problem, chances: Chances, plants: Floats, bound: float, rounds: int, gap: float, nodes: int | None
) -> Held:
    order = np.argsort(use := chances.use(plants))
    at = np.searchsorted(np.cumsum(chances.weights[order]), chances.confidence * chances.weights.sum() * (1.0 - 1e-12))
    factor = 1.0 / max(1.0, float(use[order][at]))

    def most(option: Option, count: float) -> float:
        return float(np.floor(factor * count + 1e-9)) if option.firm else factor * count

    thin = np.array([most(o, n) for o, n in zip(problem.options, plants, strict=True)])
    caps = [Row(np.eye(len(thin))[j], float(n), ("thinned", j)) for j, n in enumerate(thin)]
    free = replace(problem, rows=())
    held = solve(free.with_rows(caps), gap=gap, nodes=nodes)
    return Held(replace(held, bound=bound), problem, chances.kept(held.plants), rounds)
