"""Several supplies over several days as one small mixed-integer programme, solved exactly.

Grams x and whether a supply is used on a day y, at all z; a day handled w; what stays short of a need e. The objective
is taken in order: shortfall, supplies, days of handling, hydroxide, then as early as may be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from rillbed.plan.doses.water import Floats

ALKALINITY = "alkalinity"
MOST_SUPPLIES = 3
# Slack by which an earlier objective may be missed when a later one is taken up.
_SLACK = 1e-6


@dataclass(frozen=True)
class Product:
    """One supply in this water.

    Attributes
    ----------
    id : str
        Row of the supplements.
    per_g : mapping
        Rise by one gram: elements in mg/L, ``alkalinity`` in meq/L.
    least_g, most_g : float
        Smallest and largest weight of one day.
    family : str
        At most one supply of a family goes in on a day.
    ph_share_per_g : float
        Share of the day's step of pH one gram uses up; 0 for salts.
    hydroxide : bool
        Whether it is a hydroxide, which is avoided.
    """

    id: str
    per_g: Mapping[str, float]
    least_g: float
    most_g: float
    family: str
    ph_share_per_g: float = 0.0
    hydroxide: bool = False


@dataclass(frozen=True)
class Problem:
    """Needs by element (and ``alkalinity``), the supplies at hand, and what binds.

    ``per_day`` caps a day, ``room`` the sum of all days, by element; ``apart`` are pairs of supplies that never meet
    on one day; of ``after`` the first may only go in on days after the last of the second.
    """

    needs: Mapping[str, float]
    products: Sequence[Product]
    days: int
    per_day: Mapping[str, float] = field(default_factory=dict)
    room: Mapping[str, float] = field(default_factory=dict)
    apart: frozenset[tuple[str, str]] = frozenset()
    after: frozenset[tuple[str, str]] = frozenset()
    most_supplies: int = MOST_SUPPLIES


@dataclass(frozen=True)
class Schedule:
    """Grams by supply and day, (products, days), and what stays short of each need, in its unit."""

    problem: Problem
    grams: Floats
    short: Mapping[str, float]

    @property
    def used(self) -> tuple[str, ...]:
        """Supplies that are used, in their order."""
        return tuple(item.id for item, row in zip(self.problem.products, self.grams, strict=True) if row.any())


class _Rows:
    """Rows of the constraint matrix, gathered one by one."""

    def __init__(self, problem: Problem) -> None:
        self.p, n, d = problem, len(problem.products), problem.days
        self.n, self.d = n, d
        self.size = 2 * n * d + n + d + len(problem.needs)
        self.rows: list[Floats] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def x(self, s: int, d: int) -> int:
        return s * self.d + d

    def y(self, s: int, d: int) -> int:
        return self.n * self.d + s * self.d + d

    def z(self, s: int) -> int:
        return 2 * self.n * self.d + s

    def w(self, d: int) -> int:
        return 2 * self.n * self.d + self.n + d

    def e(self, k: int) -> int:
        return 2 * self.n * self.d + self.n + self.d + k

    def add(self, terms: Mapping[int, float], low: float = -np.inf, high: float = np.inf) -> None:
        row = np.zeros(self.size)
        for at, value in terms.items():
            row[at] += value
        self.rows.append(row)
        self.low.append(low)
        self.high.append(high)

    def vector(self, terms: Mapping[int, float]) -> Floats:
        out = np.zeros(self.size)
        for at, value in terms.items():
            out[at] = value
        return out


def solve(problem: Problem) -> Schedule:
    """Solve the programme; it always has an answer, as every need may stay short.

    Raises
    ------
    ValueError
        For no day, no need or no supply.
    """
    if problem.days < 1 or not problem.products or not problem.needs:
        raise ValueError("schedule: needs at least one day, one supply and one need")
    m = _Rows(problem)
    _couple(m)
    _meet_needs(m)
    _caps(m)
    _keep_apart(m)
    names = list(problem.needs)
    upper = np.full(m.size, np.inf)
    upper[m.n * m.d : m.e(0)] = 1.0
    for k, name in enumerate(names):
        upper[m.e(k)] = problem.needs[name]
    whole = np.zeros(m.size)
    whole[m.n * m.d : m.e(0)] = 1
    found: Floats | None = None
    for objective in _objectives(m, names):
        result = milp(
            objective,
            constraints=LinearConstraint(np.array(m.rows), np.array(m.low), np.array(m.high)),
            bounds=Bounds(np.zeros(m.size), upper),
            integrality=whole,
        )
        if result.x is None:
            break
        found = np.asarray(result.x)
        m.rows.append(objective)
        m.low.append(-np.inf)
        m.high.append(float(result.fun) + _SLACK * max(1.0, abs(float(result.fun))))
    if found is None:
        raise ValueError("schedule: has no answer")
    grams = found[: m.n * m.d].reshape(m.n, m.d)
    on = found[m.n * m.d : 2 * m.n * m.d].reshape(m.n, m.d) > 0.5
    short = {name: float(found[m.e(k)]) for k, name in enumerate(names)}
    return Schedule(problem, np.where(on, grams, 0.0), short)


def _objectives(m: _Rows, names: list[str]) -> list[Floats]:
    pairs = [(s, d) for s in range(m.n) for d in range(m.d)]
    needs, products = m.p.needs, m.p.products
    return [
        m.vector({m.e(k): 1.0 / needs[name] for k, name in enumerate(names)}),
        m.vector({m.z(s): 1.0 for s in range(m.n)}),
        m.vector({m.w(d): 1.0 for d in range(m.d)}),
        m.vector({m.x(s, d): 1.0 / products[s].most_g for s, d in pairs if products[s].hydroxide}),
        m.vector({m.x(s, d): (1.0 + d) / products[s].most_g for s, d in pairs}),
    ]


def _couple(m: _Rows) -> None:
    for s, item in enumerate(m.p.products):
        for d in range(m.d):
            m.add({m.x(s, d): 1.0, m.y(s, d): -item.most_g}, high=0.0)
            m.add({m.x(s, d): 1.0, m.y(s, d): -item.least_g}, low=0.0)
            m.add({m.y(s, d): 1.0, m.z(s): -1.0}, high=0.0)
            m.add({m.y(s, d): 1.0, m.w(d): -1.0}, high=0.0)
    m.add({m.z(s): 1.0 for s in range(m.n)}, high=float(m.p.most_supplies))


def _meet_needs(m: _Rows) -> None:
    for k, (name, need) in enumerate(m.p.needs.items()):
        given = {m.x(s, d): p.per_g.get(name, 0.0) for s, p in enumerate(m.p.products) for d in range(m.d)}
        m.add({**given, m.e(k): 1.0}, low=need)
        if name == ALKALINITY:
            m.add(given, high=need * (1.0 + 1e-9))


def _caps(m: _Rows) -> None:
    for name, cap in m.p.per_day.items():
        for d in range(m.d):
            m.add({m.x(s, d): p.per_g.get(name, 0.0) for s, p in enumerate(m.p.products)}, high=cap)
    for name, cap in m.p.room.items():
        m.add({m.x(s, d): p.per_g.get(name, 0.0) for s, p in enumerate(m.p.products) for d in range(m.d)}, high=cap)
    for d in range(m.d):
        m.add({m.x(s, d): p.ph_share_per_g for s, p in enumerate(m.p.products)}, high=1.0)


def _keep_apart(m: _Rows) -> None:
    at = {item.id: s for s, item in enumerate(m.p.products)}
    families: dict[str, list[int]] = {}
    for s, item in enumerate(m.p.products):
        families.setdefault(item.family, []).append(s)
    for d in range(m.d):
        for members in families.values():
            if len(members) > 1:
                m.add({m.y(s, d): 1.0 for s in members}, high=1.0)
        for a, b in m.p.apart:
            m.add({m.y(at[a], d): 1.0, m.y(at[b], d): 1.0}, high=1.0)
        for late, early in m.p.after:
            for later in range(d, m.d):
                m.add({m.y(at[late], d): 1.0, m.y(at[early], later): 1.0}, high=1.0)
