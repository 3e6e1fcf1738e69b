"""Which way the hours of a day go: numpy, or machine code where the extra `fast` is installed.

Both run the same words, `hourly.hour`; they differ by rounding (see decisions/0015-speed.md).
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import cache
from importlib.util import find_spec

from rillbed.engine import hourly
from rillbed.engine.hourly import Course, Stretch
from rillbed.engine.result import Array
from rillbed.engine.state import S

SHARED_FROM = 512  # members; with fewer, handing half of them over takes longer than it saves
_asked: list[str] = []


@cache
def installed() -> bool:
    """Tell whether the compiler of the extra `fast` is there."""
    return find_spec("numba") is not None


def way() -> str:
    """Name the way in use: ``numpy`` or ``compiled``."""
    return _asked[-1] if _asked else "compiled" if installed() else "numpy"


@contextmanager
def by(name: str) -> Iterator[None]:
    """Go one way within the block, ``numpy`` or ``compiled``, in every thread: for measuring and for tests.

    Raises
    ------
    ValueError
        For another name, or the compiled way without the extra.
    """
    allowed = ("numpy", "compiled") if installed() else ("numpy",)
    if name not in allowed:
        raise ValueError(f"by: {name!r} is not possible here; allowed: {', '.join(allowed)}")
    _asked.append(name)
    try:
        yield
    finally:
        _asked.pop()


def advance(y: Array, on: Course, stretches: Sequence[Stretch]) -> None:
    """Move the state and the course of the day by some stretches, in place; see `hourly.advance`."""
    if way() == "numpy":
        hourly.advance(y, on, stretches)
        return
    first = _half(y.shape[1])
    other = _hand().submit(_go, y, on, stretches, 0, first) if first else None
    _go(y, on, stretches, first, y.shape[1])
    if other is not None:
        other.result()


def _go(y: Array, on: Course, stretches: Sequence[Stretch], first: int, last: int) -> None:
    """Move the members from `first` to `last`; touches nothing of the others."""
    blocks = _lanes()
    for steps, rows, meal in stretches:
        if meal is not None:
            y[S.GUT1, first:last] += meal[first:last]
        blocks(y, on.h, on.used, on.low, on.flowed, rows, steps, first, last)


def _half(members: int) -> int:
    """Give the member from which on this thread goes; a second one goes up to it, where handing over pays."""
    return members // 2 if members >= SHARED_FROM and _cores() > 1 else 0


@cache
def _cores() -> int:
    return os.cpu_count() or 1


@cache
def _hand() -> ThreadPoolExecutor:
    """Keep a second thread; the compiled hours hold no lock of the interpreter."""
    return ThreadPoolExecutor(1, "hours")


# A process that is forked off has no second thread, whatever this one had.
if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_hand.cache_clear)


@cache
def _lanes() -> Callable[..., None]:
    """Load the compiled hours; the first time on a machine, and after a change of the model, makes them."""
    from rillbed.engine.lanes import blocks

    made: Callable[..., None] = blocks
    return made
