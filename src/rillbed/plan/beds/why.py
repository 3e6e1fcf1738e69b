"""Why a line is as it is: what keeps one plant more out, by name and with its numbers."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed.plan.advice import Reason, Values
from rillbed.plan.beds.problem import Problem, Solution, limits

Floats = NDArray[np.float64]
WEEK = 7
MOST = 2
SLACK = 1e-6


class Slack:
    """Rows of a problem with what a solution leaves of each."""

    def __init__(self, problem: Problem, solution: Solution, on: date) -> None:
        self.problem, self.on = problem, on
        self.rows = limits(problem)
        self.table = np.array([row.coefficients for row in self.rows]).reshape(len(self.rows), len(problem.options))
        self.left = np.array([row.most for row in self.rows]) - self.table @ solution.plants
        self.solution = solution

    def why(self, j: int) -> tuple[Reason, ...]:
        """Rows in which one plant more of an option finds no room; else that nobody would eat it.

        One reason of a kind, the tightest first.
        """
        out: dict[str, Reason] = {}
        each = self.table[:, j]
        tight = np.flatnonzero((each > 0.0) & (self.left < each - SLACK))
        for i in sorted((int(i) for i in tight), key=lambda i: float(self.left[i] / each[i])):
            kind, what = self.rows[i].name
            if kind not in out and kind != "thinned":
                out[kind] = self._row(kind, what, i)
        if not out:
            option = self.problem.options[j]
            wish = self.problem.wishes.get(option.wish)
            if wish is None:
                return (Reason("beds.why.locked", {"crop": option.crop}),)
            weeks = [week for week, _ in option.picks]
            eaten = float(np.mean([self.solution.eaten[option.wish][week] for week in weeks])) if weeks else 0.0
            return (Reason("beds.why.eaten", {"wish": option.wish, "servings": eaten, "wanted": wish.wanted}),)
        return tuple(out.values())[:MOST]

    def _row(self, kind: str, what: object, i: int) -> Reason:
        row, left = self.rows[i], float(max(self.left[i], 0.0))
        if kind == "bed" and isinstance(what, tuple):
            place: Values = {"bed": str(what[0]), "on": self._day(what[1]), "m2": row.most}
            return Reason("beds.why.bed", {**place, "left_m2": round(left, 2)})  # a hand's breadth tells no more
        if kind == "element" and isinstance(what, tuple):
            values: Values = {"element": str(what[0]), "on": self._day(what[1]), "grams": row.most}
            return Reason("beds.why.element", {**values, "left_g": left})
        if kind == "seedlings":
            return Reason("beds.why.seedlings", {"crop": str(what), "count": row.most})
        return Reason(f"beds.why.{kind}", {"on": self._day(what), "most": row.most, "left": left})

    def _day(self, week: object) -> str:
        return (self.on + timedelta(days=WEEK * int(str(week)))).isoformat()


def one_each(reasons: Iterable[Reason], planted: frozenset[str]) -> tuple[Reason, ...]:
    """Refusals of crops that are planted nowhere, one a crop, the first found."""
    out: dict[str, Reason] = {}
    for item in reasons:
        key = str(item.values.get("crop") or item.values.get("wish"))
        if key not in planted:
            out.setdefault(key, item)
    return tuple(out.values())
