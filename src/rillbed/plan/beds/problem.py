"""The integer programme: how many plants of which option, worth the servings that are eaten in time.

One option is a crop in a bed from a week on. Rows: area of each bed in each week, places in trays, seedlings at hand,
area cleared in a week, servings in stock by wish, and whatever budgets are added as linear rows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Option:
    """Plants of one crop set out in one bed in one week, all figures per plant.

    ``last`` is the week of the last picking, in which its place falls free; ``picks`` are (week, servings);
    ``trays`` are (first week, week after the last, places); ``stock`` marks seedlings that must be at hand;
    ``least`` is the smallest number that is planted at all.
    """

    crop: str
    bed: str
    week: int
    last: int
    area_m2: float
    wish: str
    picks: tuple[tuple[int, float], ...]
    worth: float = 1.0
    firm: bool = True
    trays: tuple[int, int, float] | None = None
    stock: bool = False
    locked: int | None = None
    before: float | None = None
    least: int = 1


@dataclass(frozen=True)
class Eating:
    """One wish: servings a week, weeks a picking keeps, and servings already coming by week."""

    wanted: float
    keeps: int
    coming: Floats


@dataclass(frozen=True)
class Row:
    """One more row: coefficients per plant of every option, the most they may sum to, and its name."""

    coefficients: Floats
    most: float
    name: tuple[str, object]


@dataclass(frozen=True)
class Problem:
    """All that one solution needs; tables by week are (weeks,)."""

    weeks: int
    options: tuple[Option, ...]
    area_m2: Mapping[str, Floats]
    wishes: Mapping[str, Eating]
    clear_m2: Floats
    tray_places: Floats | None = None
    seedlings: Mapping[str, Floats] = field(default_factory=dict)
    rows: tuple[Row, ...] = ()
    second_half: float = 0.7
    beyond: float = 0.1
    change_cost: float = 0.0
    waste_cost: float = 0.05

    def with_rows(self, rows: Sequence[Row]) -> Problem:
        """Return the same problem with more rows."""
        return replace(self, rows=(*self.rows, *rows))


@dataclass(frozen=True)
class Solution:
    """Plants of every option, servings eaten and wasted by wish and week, worth, and the best that may be possible."""

    plants: Floats
    eaten: Mapping[str, Floats]
    wasted: Mapping[str, Floats]
    worth: float
    bound: float

    @property
    def gap(self) -> float:
        """Share of the worth that a better plan may add."""
        return max(0.0, (self.bound - self.worth) / max(abs(self.worth), 1e-9))


class Infeasible(ValueError):
    """No plan keeps to what is fixed."""


def limits(problem: Problem) -> tuple[Row, ...]:
    """Rows on the plants alone: beds, trays, seedlings, clearing, and the budgets."""
    options, out = problem.options, []
    weeks = np.arange(problem.weeks)
    standing = np.array([(weeks >= o.week) & (weeks <= o.last) for o in options]).reshape(-1, problem.weeks)
    area = np.array([o.area_m2 for o in options])
    for bed, free in problem.area_m2.items():
        here = area * np.array([o.bed == bed for o in options])
        out += [Row(here * standing[:, w], float(free[w]), ("bed", (bed, w))) for w in weeks]
    ends = np.array([[o.last == w for w in weeks] for o in options]).reshape(-1, problem.weeks)
    out += [Row(area * ends[:, w], float(problem.clear_m2[w]), ("clearing", w)) for w in weeks]
    if problem.tray_places is not None:
        places = np.zeros((len(options), problem.weeks))
        for j, o in enumerate(options):
            if o.trays is not None:
                places[j, o.trays[0] : o.trays[1]] = o.trays[2]
        out += [Row(places[:, w], float(problem.tray_places[w]), ("trays", w)) for w in weeks]
    for crop, ready in problem.seedlings.items():
        mine = np.array([o.stock and o.crop == crop for o in options])
        first = np.array([o.week for o in options])
        for w in sorted({o.week for o in options if o.stock and o.crop == crop}):
            # Seedlings used up to a week are at most those ready by then.
            out.append(Row((mine & (first <= w)).astype(float), float(ready[w]), ("seedlings", crop)))
    return (*(row for row in out if row.coefficients.any()), *problem.rows)


def solve(
    problem: Problem,
    *,
    whole: bool = True,
    gap: float = 0.01,
    nodes: int | None = None,
    seconds: float | None = None,
) -> Solution:
    """Find the plants worth most.

    Parameters
    ----------
    whole : bool
        Whether firm options are counted in whole plants; otherwise all are relaxed, which bounds every plan.
    gap, nodes, seconds
        Where to stop: share of the worth, nodes of the search, and time; the same answer each time without the last.

    Raises
    ------
    Infeasible
        If locked lines and what grows already leave no way.
    """
    build = _Build(problem)
    most = {"mip_rel_gap": gap} | ({} if nodes is None else {"node_limit": nodes})
    most |= {} if seconds is None else {"time_limit": seconds}
    integer = build.integer if whole else np.zeros_like(build.integer)
    found = milp(
        build.cost, constraints=build.constraints(), integrality=integer, bounds=Bounds(build.low, build.high),
        options=most,
    )  # fmt: skip
    if found.x is None:
        raise Infeasible("no planting plan keeps what is locked and what already grows within beds and budgets")
    plants = np.maximum(found.x[: len(problem.options)], 0.0)
    firm = np.array([o.firm for o in problem.options], dtype=bool)
    if whole:
        plants = np.where(firm, np.round(plants), plants)
    bound = found.fun if getattr(found, "mip_dual_bound", None) is None else found.mip_dual_bound
    return Solution(plants, build.eaten(found.x), build.wasted(found.x), -float(found.fun), -float(bound))


class _Build:
    """Columns: plants, per wish eaten in three pieces, stock and waste by week, moves both ways, batches or none."""

    def __init__(self, problem: Problem) -> None:
        self.p, n, w = problem, len(problem.options), problem.weeks
        self.n, self.w = n, w
        self.moved = [j for j, o in enumerate(problem.options) if o.before is not None]
        # Whole plants only; where few fit, all of them are the least.
        self.least = {j: o.least for j, o in enumerate(problem.options) if o.firm and o.locked is None and o.least > 1}
        self.batches = n + 5 * w * len(problem.wishes) + 2 * len(self.moved)
        self.size = self.batches + len(self.least)
        self.cost, self.low, self.high = np.zeros(self.size), np.zeros(self.size), np.full(self.size, np.inf)
        self.integer = np.zeros(self.size)
        self.integer[:n] = [o.firm for o in problem.options]
        # A hair dearer per area, so that plants nobody needs are not set out.
        self.cost[:n] = [1e-3 * o.area_m2 for o in problem.options]
        for j, option in enumerate(problem.options):
            fit = float(problem.area_m2[option.bed].max(initial=0.0)) / option.area_m2
            # Whole plants have whole bounds: with others the solver has missed the best plan.
            self.high[j] = np.floor(fit + 1e-9) if option.firm else fit
            if option.locked is not None:
                self.low[j] = self.high[j] = option.locked
        pieces = ((1.0, 0.5), (problem.second_half, 0.5), (problem.beyond, 0.5))
        for k, wish in enumerate(problem.wishes.values()):
            for i, (worth, share) in enumerate(pieces):
                self.cost[self.at(k, i)] = -worth
                self.high[self.at(k, i)] = share * wish.wanted
            self.cost[self.at(k, 4)] = problem.waste_cost
        tail = n + 5 * w * len(problem.wishes)
        self.cost[tail : self.batches] = problem.change_cost
        self.tail = tail
        self.high[self.batches :] = self.integer[self.batches :] = 1.0

    def at(self, wish: int, piece: int) -> slice:
        """Columns of one wish: pieces 0 to 2 eaten, 3 stock, 4 waste."""
        first = self.n + (5 * wish + piece) * self.w
        return slice(first, first + self.w)

    def constraints(self) -> list[LinearConstraint]:
        """All rows."""
        out = []
        rows = limits(self.p)
        if rows:
            table = sparse.csr_matrix(np.array([row.coefficients for row in rows]))
            wide = sparse.hstack([table, sparse.csr_matrix((len(rows), self.size - self.n))])
            out.append(LinearConstraint(wide, -np.inf, [row.most for row in rows]))
        for k, (name, wish) in enumerate(self.p.wishes.items()):
            out += self._stock(k, name, wish)
        if self.moved:
            both = sparse.lil_matrix((len(self.moved), self.size))
            for i, j in enumerate(self.moved):
                both[i, j] = 1.0
                both[i, self.tail + 2 * i], both[i, self.tail + 2 * i + 1] = -1.0, 1.0
            before = [self.p.options[j].before for j in self.moved]
            out.append(LinearConstraint(both.tocsr(), before, before))
        if self.least:
            out += self._batches()
        return out

    def _batches(self) -> list[LinearConstraint]:
        """None of an option, or at least so many that the work is worth it."""
        some, enough = (sparse.lil_matrix((len(self.least), self.size)) for _ in range(2))
        for i, (j, least) in enumerate(self.least.items()):
            some[i, j], some[i, self.batches + i] = 1.0, -self.high[j]
            enough[i, j], enough[i, self.batches + i] = 1.0, -min(float(least), self.high[j])
        return [LinearConstraint(some.tocsr(), -np.inf, 0.0), LinearConstraint(enough.tocsr(), 0.0, np.inf)]

    def _stock(self, k: int, name: str, wish: Eating) -> list[LinearConstraint]:
        picked = sparse.lil_matrix((self.w, self.n))
        worth = np.zeros((self.w, self.n))
        for j, option in enumerate(self.p.options):
            if option.wish == name:
                for week, servings in option.picks:
                    picked[week, j] += servings
                    worth[week, j] += servings * (1.0 - option.worth)
        # A serving that is worth less is dearer by what it lacks.
        self.cost[: self.n] += worth.sum(axis=0)
        eye, step = sparse.identity(self.w), sparse.eye(self.w, k=-1)
        window = sum((sparse.eye(self.w, k=-i) for i in range(wish.keeps)), sparse.csr_matrix((self.w, self.w)))
        balance = {0: -eye, 1: -eye, 2: -eye, 3: step - eye, 4: -eye}
        keeping = {3: -eye}
        return [
            LinearConstraint(self._wide(k, picked.tocsr(), balance), -wish.coming, -wish.coming),
            LinearConstraint(self._wide(k, window @ picked.tocsr(), keeping), -(window @ wish.coming), np.inf),
        ]

    def _wide(self, k: int, plants: sparse.csr_matrix, parts: Mapping[int, sparse.csr_matrix]) -> sparse.csr_matrix:
        blocks = [plants]
        zero = sparse.csr_matrix((self.w, self.w))
        for other in range(len(self.p.wishes)):
            blocks += [parts.get(i, zero) if other == k else zero for i in range(5)]
        blocks.append(sparse.csr_matrix((self.w, self.size - self.tail)))
        return sparse.hstack(blocks).tocsr()

    def eaten(self, x: Floats) -> dict[str, Floats]:
        """Give servings eaten by wish, (weeks,)."""
        return {
            name: sum((x[self.at(k, i)] for i in range(3)), np.zeros(self.w)) for k, name in enumerate(self.p.wishes)
        }

    def wasted(self, x: Floats) -> dict[str, Floats]:
        """Give servings nobody eats in time by wish, (weeks,)."""
        return {name: x[self.at(k, 4)] for k, name in enumerate(self.p.wishes)}
