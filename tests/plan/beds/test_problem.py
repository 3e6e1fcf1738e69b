"""The integer programme against every plan there is (small) and against its relaxation (large)."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy.optimize import linprog

from rillbed.plan.beds.problem import Eating, Infeasible, Option, Problem, Row, limits, solve


def small(seed):
    """Six options of two crops in two beds over six weeks, a budget row, and room for a few plants only."""
    rng = np.random.default_rng(seed)
    options = []
    for crop, wish in (("a", "a"), ("b", "greens")):
        for bed, week in (("x", 0), ("x", 1), ("y", 2)):
            last = min(5, week + int(rng.integers(1, 4)))
            picks = ((last, float(rng.uniform(0.5, 2.0))),)
            options.append(Option(crop, bed, week, last, float(rng.uniform(0.25, 0.5)), wish, picks))
    budget = Row(rng.uniform(0.1, 1.0, len(options)), float(rng.uniform(1.0, 2.5)), ("element", "n"))
    wishes = {"a": Eating(2.0, 1, np.zeros(6)), "greens": Eating(1.5, 0, np.full(6, 0.2))}
    return Problem(
        weeks=6, options=tuple(options), area_m2={"x": np.full(6, 1.0), "y": np.full(6, 0.8)}, wishes=wishes,
        clear_m2=np.full(6, 0.9), rows=(budget,),
    )  # fmt: skip


def worth_of(problem, plants):
    """Worth of given plants: what they give is eaten as early as wished, by a plan with every plant fixed."""
    fixed = tuple(replace(o, locked=int(n)) for o, n in zip(problem.options, plants, strict=True))
    return solve(replace(problem, options=fixed), gap=0.0).worth


@pytest.mark.parametrize("seed", range(6))
def test_no_other_plan_is_worth_more(seed):
    problem = small(seed)
    found = solve(problem, gap=0.0)
    rows = limits(problem)
    table, most = np.array([r.coefficients for r in rows]), np.array([r.most for r in rows])
    every = np.array(list(product(range(6), repeat=len(problem.options))))
    allowed = every[(every @ table.T <= most + 1e-9).all(axis=1)]
    assert len(allowed) > 20
    assert allowed.max() < 5
    best = max(greedy(problem, plants) for plants in allowed)
    assert found.worth == pytest.approx(best, abs=1e-6)
    assert found.worth == pytest.approx(worth_of(problem, found.plants), abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_no_other_plan_of_whole_batches_is_worth_more(seed):
    """The same, where some options are planted three at once or not at all; where two fit, two are enough."""
    problem = small(seed)
    options = tuple(replace(o, least=3) if j % 2 == 0 else o for j, o in enumerate(problem.options))
    found = solve(replace(problem, options=options), gap=0.0)
    rows = limits(problem)
    table, most = np.array([r.coefficients for r in rows]), np.array([r.most for r in rows])
    every = np.array(list(product(range(6), repeat=len(options))))
    fit = np.array([int(problem.area_m2[o.bed].max() / o.area_m2 + 1e-9) for o in options])
    least = np.minimum([o.least for o in options], fit)
    allowed = every[(every @ table.T <= most + 1e-9).all(axis=1) & ((every == 0) | (every >= least)).all(axis=1)]
    best = max(greedy(problem, plants) for plants in allowed)
    assert found.worth == pytest.approx(best, abs=1e-6)
    assert ((found.plants == 0) | (found.plants >= least)).all()


def test_a_least_batch_binds_and_what_is_locked_is_left_alone():
    problem = small(2)
    free = solve(problem, gap=0.0)
    j = int(np.argmax(np.where(free.plants > 0, -free.plants, -99)))
    more = int(free.plants[j]) + 1
    options = tuple(replace(o, least=more) if i == j else o for i, o in enumerate(problem.options))
    bound = solve(replace(problem, options=options), gap=0.0)
    assert bound.plants[j] != free.plants[j]
    assert bound.worth <= free.worth + 1e-9
    assert bound.worth <= solve(replace(problem, options=options), whole=False).worth + 1e-9
    locked = tuple(replace(o, locked=int(free.plants[j])) if i == j else o for i, o in enumerate(options))
    assert solve(replace(problem, options=locked), gap=0.0).plants[j] == free.plants[j]


def greedy(problem, plants):
    """Worth by an own reckoning: eat the oldest first; within a wish every week's pieces are as good as any other's."""
    worth = -sum(1e-3 * o.area_m2 * n for o, n in zip(problem.options, plants, strict=True))
    for name, wish in problem.wishes.items():
        picked = wish.coming.copy()
        for o, n in zip(problem.options, plants, strict=True):
            if o.wish == name:
                for week, servings in o.picks:
                    picked[week] += n * servings
        worth += spread(picked, wish, problem)
    return worth


def spread(picked, wish, problem):
    """Best use of pickings that keep none or one week, by trying how much of each week waits."""
    pieces = ((1.0, 0.5), (problem.second_half, 0.5), (problem.beyond, 0.5))

    def eat(amount):
        total = 0.0
        for value, share in pieces:
            take = min(amount, share * wish.wanted)
            total, amount = total + value * take, amount - take
        return total - problem.waste_cost * amount

    if not wish.keeps:
        return sum(eat(p) for p in picked)
    # Each piece of each week is filled by this week's or last week's picking: a small transport problem, solved as one.
    weeks = len(picked)
    cost, rows, most = [], [], []
    ways = [(w, v, s) for w in range(weeks) for v in (w, w + 1) if v < weeks for s in range(3)]
    cost = [-(pieces[s][0] + problem.waste_cost) for _, _, s in ways]
    # What is picked in the last week still keeps when the weeks end: neither eaten nor wasted.
    ways, cost = [*ways, (weeks - 1, weeks, 0)], [*cost, -problem.waste_cost]
    for w in range(weeks):
        rows.append([float(a == w) for a, _, _ in ways])
        most.append(picked[w])
    for v, s in product(range(weeks), range(3)):
        rows.append([float(b == v and t == s) for _, b, t in ways])
        most.append(pieces[s][1] * wish.wanted)
    return -linprog(cost, rows, most).fun - problem.waste_cost * picked.sum()


def test_large_plans_stay_under_their_relaxation_and_say_how_far():
    rng = np.random.default_rng(5)
    options = tuple(
        Option(f"c{c}", bed, w, min(25, w + 4 + c), 0.05 + 0.01 * c, f"c{c}", ((min(25, w + 4 + c), 1.0 + 0.1 * c),))
        for c in range(6)
        for bed in ("x", "y")
        for w in range(20)
    )
    rows = tuple(Row(rng.uniform(0.0, 0.2, len(options)), 6.0, ("element", "k")) for _ in range(10))
    wishes = {f"c{c}": Eating(3.0, 1, np.zeros(26)) for c in range(6)}
    area = {"x": np.full(26, 1.0), "y": np.full(26, 0.5)}
    problem = Problem(26, options, area, wishes, clear_m2=np.full(26, 0.45), rows=rows)
    found = solve(problem, gap=0.05, nodes=300)
    relaxed = solve(problem, whole=False)
    assert 0.0 < found.worth <= relaxed.worth + 1e-6
    assert found.worth <= found.bound + 1e-6 <= relaxed.worth + 1e-5
    assert found.gap <= 0.05 + 1e-6
    assert (found.plants == np.round(found.plants)).all()
    for row in limits(problem):
        assert row.coefficients @ found.plants <= row.most + 1e-6


def test_a_lock_that_does_not_fit_is_refused():
    problem = small(1)
    locked = (replace(problem.options[0], locked=50), *problem.options[1:])
    with pytest.raises(Infeasible, match="locked"):
        solve(replace(problem, options=locked))
