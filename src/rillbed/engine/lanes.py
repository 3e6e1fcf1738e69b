"""The hours of a day in machine code, made from `hourly.hour` and what it calls; needs the extra `fast`.

Members go through in blocks of `LANES`, side by side in the processor's registers. Each lane does the same operations
whatever stands beside it, so a member comes out the same to the last bit in any company.
"""

import hashlib
import types as python
from collections.abc import Callable
from typing import Any

import numpy as np
from llvmlite import ir
from numba import njit, types
from numba.extending import intrinsic

from rillbed.engine import elementary, hourly
from rillbed.engine.hourly import BENCH_FROM_H
from rillbed.engine.pools import Flows, Pools, Step
from rillbed.engine.state import S
from rillbed.science.polish import polished

LANES = 16
POOLS, FLOWS, STEP = len(Pools._fields), len(Flows._fields), len(Step._fields)
HELD = int(S.CAP_N) + 1  # rows of the state that move
PHOSPHATE = int(S.P)
H, USED = Pools._fields.index("h"), Pools._fields.index("used")
O2 = Pools._fields.index("o2")
FLOW_AT, NOW_AT, STEP_AT = POOLS, POOLS + FLOWS, POOLS + 2 * FLOWS
LOW_AT = STEP_AT + STEP
ROWS = LOW_AT + 1
NUMPY = ("exp", "expm1", "log10", "maximum", "minimum", "where")  # done by `elementary`
PLAIN = ("sqrt", "abs")  # one instruction each


def _rows(first: int, kind: type) -> Any:
    """Make a reader of one lane: as many rows as `kind` has names, from row `first` of a block."""
    count = len(kind._fields)  # type: ignore[attr-defined]

    @intrinsic
    def read(_: Any, block: Any, lane: Any) -> Any:
        found: Any = types.NamedUniTuple(types.float64, count, kind)  # type: ignore[no-untyped-call]

        def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
            base = context.make_array(signature.args[0])(context, builder, args[0]).data
            cells = [builder.load(_cell(builder, base, first + k, args[1])) for k in range(count)]
            return context.make_tuple(builder, found, cells)

        return found(block, lane), code

    return read


def _cell(builder: Any, base: Any, row: int, lane: Any) -> Any:
    offset = builder.add(lane, ir.Constant(ir.IntType(64), row * LANES))
    return builder.gep(base, [offset], inbounds=True)


def _writer(first: int) -> Any:
    @intrinsic
    def write(_: Any, block: Any, lane: Any, values: Any) -> Any:
        def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
            base = context.make_array(signature.args[0])(context, builder, args[0]).data
            for k in range(signature.args[2].count):
                builder.store(builder.extract_value(args[2], k), _cell(builder, base, first + k, args[1]))
            return context.get_dummy_value()

        return types.none(block, lane, values), code

    return write


pools_of, consts_of = _rows(0, Pools), _rows(STEP_AT, Step)
put_pools, put_flows = _writer(0), _writer(NOW_AT)


def _numpy() -> python.ModuleType:
    """Stand in for numpy inside compiled code."""
    stand_in = python.ModuleType("lanes_numpy")
    for name in NUMPY:
        setattr(stand_in, name, getattr(elementary, name))
    for name in PLAIN:
        setattr(stand_in, name, getattr(np, name))
    stand_in.asarray = elementary.same  # type: ignore[attr-defined]
    return stand_in


class Linker:
    """Compiles functions of numbers or arrays for numbers, with every function of this package they call."""

    def __init__(self) -> None:
        self.numpy, self.done = _numpy(), {}  # type: ignore[var-annotated]
        self.read = hashlib.sha256()

    def link(self, work: Callable[..., Any]) -> Any:
        """Compile one function, once."""
        if work not in self.done:
            self.done[work] = njit(error_model="numpy", forceinline=True)(self._bound(work))
        return self.done[work]

    def _bound(self, work: Callable[..., Any]) -> Any:
        """Give the same code with what it calls compiled, and numpy stood in for; keep note of all it says."""
        code, known = work.__code__, dict(work.__globals__)
        self.read.update(f"{work.__qualname__} {code.co_consts} {code.co_names}".encode() + code.co_code)
        for name in code.co_names:
            thing = known.get(name)
            if thing is np:
                known[name] = self.numpy
            elif isinstance(thing, python.FunctionType):
                known[name] = self.link(thing)
            elif isinstance(thing, int | float | tuple):
                self.read.update(f"{name}={thing!r}".encode())
        return python.FunctionType(code, known, work.__name__, work.__defaults__, work.__closure__)


linker = Linker()
hour_of_one, polished_of_one = linker.link(hourly.hour), linker.link(polished)


@njit(error_model="numpy")
def _fetch(block, row, source, start, stop):  # type: ignore[no-untyped-def]
    """Fill a row of the block; what is beyond the last member repeats it."""
    for i in range(LANES):
        block[row * LANES + i] = source[min(start + i, stop - 1)]


@njit(error_model="numpy")
def _bring(block, row, target, start, stop):  # type: ignore[no-untyped-def]
    """Bring a row of the block back to its members."""
    for m in range(start, stop):
        target[m] = block[row * LANES + m - start]


@njit(error_model="numpy")
def _bench(block):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        if block[H * LANES + i] < BENCH_FROM_H:
            s, c = pools_of(block, i), consts_of(block, i)
            block[H * LANES + i] = polished_of_one(
                s.h, s.co2, s.alk, s.tan, s.p, c.k1, c.rho, c.gamma1, c.kw, c.ka_nh3, c.ka_po4
            )


def _blocks(y, h, used, low, flowed, step, steps, first, last):  # type: ignore[no-untyped-def]
    """Move the members from `first` to `last` by some steps, in place."""
    block = np.empty(ROWS * LANES)
    for start in range(first, last, LANES):
        stop = min(start + LANES, last)
        for row in range(HELD):
            _fetch(block, row, y[row], start, stop)
        _fetch(block, HELD, y[PHOSPHATE], start, stop)
        _fetch(block, H, h, start, stop)
        _fetch(block, USED, used, start, stop)
        _fetch(block, LOW_AT, low, start, stop)
        for row in range(FLOWS):
            _fetch(block, FLOW_AT + row, flowed[row], start, stop)
        for row in range(STEP):
            _fetch(block, STEP_AT + row, step[row], start, stop)
        for _ in range(steps):
            for i in range(LANES):
                pools, flows = hour_of_one(pools_of(block, i), consts_of(block, i))
                put_pools(block, i, pools)
                put_flows(block, i, flows)
            high = 0
            for i in range(LANES):
                high += block[H * LANES + i] < BENCH_FROM_H
                block[LOW_AT * LANES + i] = min(block[LOW_AT * LANES + i], block[O2 * LANES + i])
            for i in range(FLOWS * LANES):
                block[FLOW_AT * LANES + i] += block[NOW_AT * LANES + i]
            if high:
                _bench(block)
        for row in range(HELD):
            _bring(block, row, y[row], start, stop)
        _bring(block, H, h, start, stop)
        _bring(block, USED, used, start, stop)
        _bring(block, LOW_AT, low, start, stop)
        for row in range(FLOWS):
            _bring(block, FLOW_AT + row, flowed[row], start, stop)


# numba keeps what it made beside this file or in the user's cache, under a name that tells all it was made of
for _function in vars(elementary).values():
    if hasattr(_function, "py_func"):
        linker.read.update(_function.py_func.__code__.co_code + repr(_function.py_func.__code__.co_consts).encode())
_blocks.__qualname__ = f"hours_{linker.read.hexdigest()[:16]}"
TYPES = "void(f8[:,::1], f8[::1], f8[::1], f8[::1], f8[:,::1], f8[:,::1], i8, i8, i8)"
blocks = njit(TYPES, error_model="numpy", nogil=True, cache=True)(_blocks)
