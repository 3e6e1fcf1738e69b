"""The programme against every on/off pattern tried one by one, each with its own linear programme."""

import itertools

import numpy as np
import pytest
from scipy.optimize import linprog

from rillbed.plan.doses.schedule import Problem, Product, solve

BASE = Product("base", {"alkalinity": 0.01, "k": 0.4}, 2.0, 40.0, "base", ph_share_per_g=0.05)
STRONG = Product("strong", {"alkalinity": 0.027, "ca": 0.54}, 1.0, 10.0, "base", ph_share_per_g=0.5, hydroxide=True)
SALT = Product("salt", {"k": 0.45}, 5.0, 30.0, "salt")
CHALK = Product("chloride", {"ca": 0.27, "cl": 0.48}, 1.0, 50.0, "salt")
IRON = Product("iron", {"fe": 0.11}, 1.0, 20.0, "chelate")

CASES = {
    "one base": Problem({"alkalinity": 0.5}, (BASE,), 3),
    "base and potassium": Problem({"alkalinity": 0.3, "k": 30.0}, (BASE, SALT), 3, per_day={"k": 14.0}),
    "two bases": Problem({"alkalinity": 0.4, "k": 5.0}, (BASE, STRONG), 3),
    "chloride has little room": Problem({"ca": 10.0}, (CHALK, STRONG), 2, room={"cl": 8.0}),
    "iron after base": Problem(
        {"alkalinity": 0.3, "fe": 1.0}, (BASE, IRON), 3, after=frozenset({("iron", "base")})
    ),
    "apart": Problem({"k": 9.0, "fe": 1.0}, (SALT, IRON), 2, apart=frozenset({("salt", "iron")})),
    "one supply only": Problem({"k": 9.0, "ca": 9.0}, (SALT, CHALK), 2, most_supplies=1),
    "less than can be weighed": Problem({"k": 1.0}, (SALT,), 2),
}  # fmt: skip


def scored(problem):
    """Best shortfall, supplies, days and hydroxide over all patterns, in this order."""
    products, days = problem.products, problem.days
    names = list(problem.needs)
    best = None
    for bits in itertools.product((0, 1), repeat=len(products) * days):
        on = np.array(bits).reshape(len(products), days)
        if not allowed(problem, on):
            continue
        count, handled = int(on.any(axis=1).sum()), int(on.any(axis=0).sum())
        first = inner(problem, on, names, None)
        if first is None:
            continue
        second = inner(problem, on, names, first)
        score = (round(first, 6), count, handled, round(second, 5))
        best = score if best is None or score < best else best
    return best


def allowed(problem, on):
    at = {item.id: s for s, item in enumerate(problem.products)}
    if on.any(axis=1).sum() > problem.most_supplies:
        return False
    for family in {item.family for item in problem.products}:
        rows = [s for s, item in enumerate(problem.products) if item.family == family]
        if (on[rows].sum(axis=0) > 1).any():
            return False
    if any((on[at[a]] & on[at[b]]).any() for a, b in problem.apart):
        return False
    for late, early in problem.after:
        when_late, when_early = np.flatnonzero(on[at[late]]), np.flatnonzero(on[at[early]])
        if when_late.size and when_early.size and when_late.min() <= when_early.max():
            return False
    return True


def inner(problem, on, names, shortfall):
    """Least shortfall for a pattern; or, with a shortfall given, least hydroxide that keeps it."""
    products, days = problem.products, problem.days
    n = len(products) * days
    rows, high = [], []

    def add(terms, limit):
        row = np.zeros(n + len(names))
        for key, value in terms.items():
            row[key] += value
        rows.append(row)
        high.append(limit)

    for k, name in enumerate(names):
        given = {s * days + d: -p.per_g.get(name, 0.0) for s, p in enumerate(products) for d in range(days)}
        add({**given, n + k: -1.0}, -problem.needs[name])
        if name == "alkalinity":
            add({key: -value for key, value in given.items()}, problem.needs[name])
    for name, cap in problem.room.items():
        add({s * days + d: p.per_g.get(name, 0.0) for s, p in enumerate(products) for d in range(days)}, cap)
    for d in range(days):
        for name, cap in problem.per_day.items():
            add({s * days + d: p.per_g.get(name, 0.0) for s, p in enumerate(products)}, cap)
        add({s * days + d: p.ph_share_per_g for s, p in enumerate(products)}, 1.0)
    short = np.zeros(n + len(names))
    short[n:] = [1.0 / problem.needs[name] for name in names]
    cost = short
    if shortfall is not None:
        add(dict(enumerate(short)), shortfall + 1e-6)
        cost = np.zeros(n + len(names))
        for s, p in enumerate(products):
            cost[s * days : (s + 1) * days] = p.hydroxide / p.most_g
    bounds = [
        (p.least_g, p.most_g) if on[s, d] else (0.0, 0.0) for s, p in enumerate(products) for d in range(days)
    ] + [(0.0, problem.needs[name]) for name in names]
    result = linprog(cost, A_ub=np.array(rows), b_ub=high, bounds=bounds)
    return float(result.fun) if result.success else None


@pytest.mark.parametrize("name", CASES)
def test_the_programme_finds_what_trying_everything_finds(name):
    problem = CASES[name]
    found = solve(problem)
    on = found.grams > 0.0
    shortfall = sum(found.short[key] / need for key, need in problem.needs.items())
    hydroxide = sum(row.sum() / p.most_g for p, row in zip(problem.products, found.grams, strict=True) if p.hydroxide)
    got = (shortfall, int(on.any(axis=1).sum()), int(on.any(axis=0).sum()), hydroxide)
    assert got == pytest.approx(scored(problem), abs=2e-5)


@pytest.mark.parametrize("name", CASES)
def test_no_cap_is_broken(name):
    problem = CASES[name]
    found = solve(problem)
    on = found.grams > 0.0
    assert allowed(problem, on)
    for p, row in zip(problem.products, found.grams, strict=True):
        assert ((row == 0.0) | ((row >= p.least_g - 1e-6) & (row <= p.most_g + 1e-6))).all()
    for d in range(problem.days):
        step = sum(p.ph_share_per_g * found.grams[s, d] for s, p in enumerate(problem.products))
        assert step <= 1.0 + 1e-6


def test_an_empty_problem_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        solve(Problem({}, (BASE,), 3))
