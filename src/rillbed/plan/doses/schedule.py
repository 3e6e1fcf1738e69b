"""Several supplies over several days as one small mixed-integer programme, solved exactly.

Grams x and whether a supply is used on a day y, at all z; a day handled w; what stays short of a need e. The objective
is taken in order: shortfall (that of the needs named first, if asked), supplies, days of handling, hydroxide, then as
early as may be.
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
_SLACK = 1e-5


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
    on one day; of ``after`` the first may only go in on days after the last of the second. With ``in_order`` the needs
    stand in order of shortage: of shortfalls that are as large together the later need bears its own.
    """

    needs: Mapping[str, float]
    products: Sequence[Product]
    days: int
    per_day: Mapping[str, float] = field(default_factory=dict)
    room: Mapping[str, float] = field(default_factory=dict)
    apart: frozenset[tuple[str, str]] = frozenset()
    after: frozenset[tuple[str, str]] = frozenset()
    most_supplies: int = MOST_SUPPLIES
    in_order: bool = False


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


def most_g(problem: Problem, item: Product) -> float:
    """Most of a supply that any day can use, g: its own limit, the caps, and what the needs ask of it.

    A bound as tight as this keeps the numbers of the programme near one.
    """
    limits = [item.most_g]
    for caps in (problem.per_day, problem.room):
        limits += [cap / item.per_g[name] for name, cap in caps.items() if item.per_g.get(name, 0.0) > 0.0]
    if item.ph_share_per_g > 0.0:
        limits.append(1.0 / item.ph_share_per_g)
    asked = [need / item.per_g[name] for name, need in problem.needs.items() if item.per_g.get(name, 0.0) > 0.0]
    limits.append(max(max(asked, default=0.0), item.least_g))
    return max(0.0, min(limits))


class _Rows:
    """Rows of the constraint matrix, gathered one by one; x counts in parts of the most a day can use."""

    def __init__(self, problem: Problem) -> None:
        most = [most_g(problem, item) for item in problem.products]
        # What cannot even be weighed within its limits is left out by a bound of nothing.
        self.unit = [m if m >= item.least_g else 0.0 for m, item in zip(most, problem.products, strict=True)]
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

    def per_unit(self, s: int, name: str) -> float:
        """Rise by all that a day can use of a supply."""
        return self.unit[s] * self.p.products[s].per_g.get(name, 0.0)

    def cap(self, terms: Mapping[int, float], most: float) -> None:
        """Add a cap, as a share of it; where nothing can break it, nothing is added."""
        if any(terms.values()):
            scale = most if most > 0.0 else 1.0
            self.add({at: value / scale for at, value in terms.items()}, high=most / scale)

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
    upper[m.e(0) :] = 1.0
    for s, most in enumerate(m.unit):
        upper[m.x(s, 0) : m.x(s, 0) + m.d] = 1.0 if most > 0.0 else 0.0
    whole = np.zeros(m.size)
    whole[m.n * m.d : m.e(0)] = 1
    found: Floats | None = None
    for objective in _objectives(m):
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
    grams = found[: m.n * m.d].reshape(m.n, m.d) * np.array(m.unit)[:, None]
    on = found[m.n * m.d : 2 * m.n * m.d].reshape(m.n, m.d) > 0.5
    short = {name: float(found[m.e(k)]) * problem.needs[name] for k, name in enumerate(names)}
    return Schedule(problem, np.where(on, grams, 0.0), short)


def _objectives(m: _Rows) -> list[Floats]:
    pairs = [(s, d) for s in range(m.n) for d in range(m.d)]
    products = m.p.products
    return [
        m.vector({m.e(k): 1.0 for k in range(len(m.p.needs))}),
        *([m.vector({m.e(k): float(len(m.p.needs) - k) for k in range(len(m.p.needs))})] if m.p.in_order else []),
        m.vector({m.z(s): 1.0 for s in range(m.n)}),
        m.vector({m.w(d): 1.0 for d in range(m.d)}),
        m.vector({m.x(s, d): m.unit[s] / products[s].most_g for s, d in pairs if products[s].hydroxide}),
        m.vector({m.x(s, d): 1.0 + d for s, d in pairs}),
    ]


def _couple(m: _Rows) -> None:
    for s, item in enumerate(m.p.products):
        for d in range(m.d):
            least = item.least_g / m.unit[s] if m.unit[s] > 0.0 else 1.0
            m.add({m.x(s, d): 1.0, m.y(s, d): -1.0}, high=0.0)
            m.add({m.x(s, d): 1.0, m.y(s, d): -least}, low=0.0)
            m.add({m.y(s, d): 1.0, m.z(s): -1.0}, high=0.0)
            m.add({m.y(s, d): 1.0, m.w(d): -1.0}, high=0.0)
    m.add({m.z(s): 1.0 for s in range(m.n)}, high=float(m.p.most_supplies))


def _meet_needs(m: _Rows) -> None:
    for k, (name, need) in enumerate(m.p.needs.items()):
        given = {m.x(s, d): m.per_unit(s, name) / need for s in range(m.n) for d in range(m.d)}
        m.add({**given, m.e(k): 1.0}, low=1.0)
        if name == ALKALINITY:
            m.add(given, high=1.0)


def _caps(m: _Rows) -> None:
    for name, cap in m.p.per_day.items():
        for d in range(m.d):
            m.cap({m.x(s, d): m.per_unit(s, name) for s in range(m.n)}, cap)
    for name, cap in m.p.room.items():
        m.cap({m.x(s, d): m.per_unit(s, name) for s in range(m.n) for d in range(m.d)}, cap)
    for d in range(m.d):
        m.add({m.x(s, d): m.unit[s] * p.ph_share_per_g for s, p in enumerate(m.p.products)}, high=1.0)


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
