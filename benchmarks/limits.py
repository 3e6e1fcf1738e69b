"""What the hour could still gain: a higher order in time, and the arithmetic the machine has to offer.

Run with ``python -m benchmarks.limits`` from the root of the checkout (about a minute).
"""

from __future__ import annotations

import time
from collections import Counter
from types import SimpleNamespace
from typing import ClassVar

import numpy as np
from benchmarks.engine import PILOT, SHORT, YEAR, error, machine, one_by_one, play

from rillbed.engine import compiled, hourly, simulate
from rillbed.engine.pools import Pools, Step
from rillbed.engine.simulate import Run

STEPS = (6, 12, 24, 48, 72, 96)  # a day
MEMBERS = 1000
MATRIX = 1500  # rows and columns whose product shows the peak
BASIC = ("add", "subtract", "multiply")


def of(steps: int, first: int) -> Run:
    """One member with another number of steps a day."""
    return play(Run, 1, SHORT, first, steps)[0]


def extrapolated(steps: int, first: int) -> SimpleNamespace:
    """Take twice the run at half the step less the run at the step: the error of first order drops out."""
    coarse, fine = of(steps, first), of(2 * steps, first)
    return SimpleNamespace(
        columns={name: np.maximum(2.0 * fine.columns[name] - coarse.columns[name], 0.0) for name in fine.columns}
    )


def orders() -> None:
    """Print error against work for both orders."""
    truth, _ = one_by_one(1e-10)
    members = range(PILOT)
    print(f"\nWork is counted in hourly steps; error as in benchmarks/engine.py\n{'':>26}{'work':>6}{'error':>10}")
    for steps in STEPS:
        print(
            f"{f'first order, {steps} a day':>26}{steps / 24:6.1f}{error([of(steps, n) for n in members], truth):10.2g}"
        )
    for steps in STEPS[:3]:
        wrong = error([extrapolated(steps, n) for n in members], truth)
        print(f"{f'extrapolated, {steps} a day':>26}{3 * steps / 24:6.1f}{wrong:10.2g}")


class Counted:
    """A number that counts what is done to it."""

    done: ClassVar[Counter[str]] = Counter()

    def __init__(self, value: float) -> None:
        self.value = float(value)

    def __array_ufunc__(self, what: np.ufunc, method: str, *given: object, **_: object) -> Counted | np.bool_:
        """Count one operation."""
        Counted.done[what.__name__] += 1
        value = what(*map(_bare, given))
        return value if isinstance(value, np.bool_) else Counted(value)


def _bare(value: object) -> object:
    while isinstance(value, np.ndarray) and value.dtype == object:
        value = value.item()
    return value.value if isinstance(value, Counted) else value


def _operator(ufunc: np.ufunc, *, swapped: bool = False):
    return (lambda a, b: ufunc(b, a)) if swapped else (lambda a, b: ufunc(a, b))


for _name, _ufunc in {
    "add": np.add, "sub": np.subtract, "mul": np.multiply, "truediv": np.divide, "pow": np.power, "lt": np.less,
    "gt": np.greater, "le": np.less_equal, "ge": np.greater_equal,
}.items():  # fmt: skip
    setattr(Counted, f"__{_name}__", _operator(_ufunc))
    setattr(Counted, f"__r{_name}__", _operator(_ufunc, swapped=True))
Counted.__neg__ = lambda self: np.negative(self)  # type: ignore[attr-defined]


def counted() -> Counter[str]:
    """Operations of one member and hour."""
    seen: list[tuple[Pools, Step]] = []
    real = hourly.hour

    def look(s: Pools, c: Step):
        seen.append((s, c))
        return real(s, c)

    hourly.hour = look
    try:
        with compiled.by("numpy"):
            play(Run, 1, 5)
    finally:
        hourly.hour = real
    s, c = seen[-1]
    Counted.done = Counter()
    hourly.hour(Pools(*(Counted(np.ravel(v)[0]) for v in s)), Step(*(Counted(np.ravel(v)[0]) for v in c)))
    return Counted.done


def peak() -> float:
    """Multiply-adds a second of the machine, as a matrix product reaches them."""
    a = np.random.default_rng(0).random((MATRIX, MATRIX))
    best = 0.0
    for _ in range(5):
        began = time.perf_counter()
        a @ a
        best = max(best, MATRIX**3 / (time.perf_counter() - began))
    return best


def arithmetic() -> None:
    """Print the operations of an hour and the share of the peak a year reaches."""
    found = counted()
    basic = sum(n for name, n in found.items() if name in BASIC)
    print("\nOperations of a member-hour:", ", ".join(f"{name} {n}" for name, n in found.most_common()))
    most = peak()
    for way in ("numpy", *(["compiled"] if compiled.installed() else [])):
        with compiled.by(way):
            inside = 0.0
            advance = compiled.advance

            def timed(*given: object) -> None:
                nonlocal inside
                began = time.perf_counter()
                advance(*given)  # type: ignore[arg-type]  # noqa: B023
                inside += time.perf_counter() - began

            simulate.advance, kept = timed, simulate.advance
            try:
                play(Run, MEMBERS, 20)
                inside = 0.0
                _, whole = play(Run, MEMBERS, YEAR)
            finally:
                simulate.advance = kept
        done = basic * 24.0 * YEAR * MEMBERS
        print(f"{way:>10}: {whole:.2f} s for {MEMBERS} member-years, {inside:.2f} s of it in the hours; there")
        print(f"{'':>12}{done / inside / 1e9:.1f} of {most / 1e9:.0f} thousand million multiply-adds a second")


if __name__ == "__main__":
    print(machine())
    arithmetic()
    orders()
