"""What may be asked of a relation: the range of each argument, looked at before the work is done.

A caller that knows its numbers to be sound, as the model does hour by hour, takes `inner`: the work without the look.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from math import inf
from typing import ParamSpec, Protocol, TypeVar, cast

import numpy as np

from rillbed.science.arrays import Array, array

P = ParamSpec("P")
R = TypeVar("R")
Out = TypeVar("Out", covariant=True)


@dataclass(frozen=True, slots=True)
class Range:
    """The numbers an argument may be: both ends allowed, or with `above` all but the lower one."""

    low: float = -inf
    high: float = inf
    above: bool = False

    def holds(self, least: float, most: float) -> bool:
        """Whether all numbers between two lie inside; never so where one is NaN or without end."""
        enough = least > self.low if self.above else least >= self.low
        return enough and most <= self.high and -inf < least and most < inf

    def __str__(self) -> str:
        if self.high < inf:
            return f"{'above ' if self.above else ''}{self.low:g} {'up ' if self.above else ''}to {self.high:g}"
        if self.low == -inf:
            return "any finite number"
        return f"above {self.low:g}" if self.above else f"{self.low:g} or more"


ANY, AMOUNT, POSITIVE, SHARE = Range(), Range(0.0), Range(0.0, above=True), Range(0.0, 1.0)
PH, PERCENT = Range(0.0, 14.0), Range(0.0, 100.0)
WATER_C, AIR_C = Range(0.0, 50.0), Range(-60.0, 60.0)
ELEVATION_M, LATITUDE_DEG = Range(-450.0, 6000.0), Range(-90.0, 90.0)
DAY_OF_YEAR, HOURS = Range(1.0, 366.0), Range(0.0, 24.0)
IONIC_STRENGTH = Range(0.0, 0.1)


class Checked(Protocol[P, Out]):
    """A relation that looks at its arguments first."""

    @property
    def inner(self) -> Callable[P, Out]:
        """The work alone."""

    @property
    def asked(self) -> dict[str, Range]:
        """What each argument may be."""

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> Out:
        """Look at the arguments, then do the work."""


def within(name: str, values: object, allowed: Range) -> Array:
    """Return the values of an argument as an array.

    Raises
    ------
    ValueError
        Naming the argument, its first bad value and what is allowed.
    """
    try:
        numbers = array(values)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise ValueError(f"{name} {values!r}: allowed is {allowed}, as a number or an array") from None
    # two reductions carry NaN along, so that a sound array costs no more
    if numbers.size and not allowed.holds(np.minimum.reduce(numbers, axis=None), np.maximum.reduce(numbers, axis=None)):
        bad = next(float(v) for v in numbers.flat if not allowed.holds(v, v))
        raise ValueError(f"{name} {bad:g}: allowed is {allowed}")
    return numbers


def checked(**ranges: Range) -> Callable[[Callable[P, R]], Checked[P, R]]:
    """Look at the named arguments of a relation on every call; a bad one raises the ValueError of `within`."""

    def wrap(work: Callable[P, R]) -> Checked[P, R]:
        code = work.__code__
        names = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
        if unknown := ranges.keys() - set(names):
            raise TypeError(f"{work.__name__} has no argument {', '.join(sorted(unknown))}")
        by_place = [(name, ranges.get(name)) for name in names]

        @wraps(work)
        def look(*args: P.args, **kwargs: P.kwargs) -> R:
            for (name, allowed), values in zip(by_place, args, strict=False):
                if allowed is not None and not (type(values) is float and allowed.holds(values, values)):
                    within(name, values, allowed)
            for name, values in kwargs.items():
                if name in ranges:
                    within(name, values, ranges[name])
            return work(*args, **kwargs)

        look.inner, look.asked = work, ranges  # type: ignore[attr-defined]
        return cast("Checked[P, R]", look)

    return wrap
