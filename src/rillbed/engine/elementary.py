"""Exponentials and logarithms that a compiler can do for many numbers at once; needs the extra `fast`.

A call into the C library for every number would keep the lanes of the processor waiting for each other. These are
branch-free, within four units of the last digit, and the same on every machine. An exponent beyond +-708 is taken as
that.
"""

import math
from typing import Any

from llvmlite import ir
from numba import njit, types
from numba.extending import intrinsic

LOG2E, LN10_INV = 1.0 / math.log(2.0), 1.0 / math.log(10.0)
LN2_HIGH = 0.693147180369123816490  # the first 33 bits of ln 2, so that whole multiples of it are exact
LN2_LOW = 1.90821492927058770002e-10  # and the rest
ROUND = 6755399441055744.0  # 1.5 * 2**52: added to a number, it leaves the nearest integer in the last bits
ROOT_HALF = 0x3FE6A09E667F3BCD  # bits of sqrt(1/2)
MOST = 708.0


def _bits(_: Any, number: Any) -> Any:
    """Take a float as its bits."""

    def code(__: Any, builder: Any, ___: Any, args: Any) -> Any:
        return builder.bitcast(args[0], ir.IntType(64))

    return types.int64(types.float64), code


def _from_bits(_: Any, number: Any) -> Any:
    """Take bits as a float."""

    def code(__: Any, builder: Any, ___: Any, args: Any) -> Any:
        return builder.bitcast(args[0], ir.DoubleType())

    return types.float64(types.int64), code


bits: Any = intrinsic(_bits)
from_bits: Any = intrinsic(_from_bits)


@njit(error_model="numpy", forceinline=True)
def maximum(a: float, b: float) -> float:
    """Return the larger, and `a` where it is not a number."""
    return b if a < b else a


@njit(error_model="numpy", forceinline=True)
def minimum(a: float, b: float) -> float:
    """Return the smaller, and `a` where it is not a number."""
    return b if a > b else a


@njit(error_model="numpy", forceinline=True)
def _reduced(x: float) -> tuple[float, float]:
    """Split x into a power of two and what is left, and give both with ``exp(left) - 1``."""
    x = minimum(maximum(x, -MOST), MOST)
    shifted = x * LOG2E + ROUND
    k = shifted - ROUND
    r = (x - k * LN2_HIGH) - k * LN2_LOW
    p = 1.0 / 6227020800.0
    p = p * r + 1.0 / 479001600.0
    p = p * r + 1.0 / 39916800.0
    p = p * r + 1.0 / 3628800.0
    p = p * r + 1.0 / 362880.0
    p = p * r + 1.0 / 40320.0
    p = p * r + 1.0 / 5040.0
    p = p * r + 1.0 / 720.0
    p = p * r + 1.0 / 120.0
    p = p * r + 1.0 / 24.0
    p = p * r + 1.0 / 6.0
    p = p * r + 0.5
    power: float = from_bits((bits(shifted) << 52) + bits(1.0))
    return power, r + r * r * p


@njit(error_model="numpy", forceinline=True)
def exp(x: float) -> float:
    """Return e to the x."""
    power, rest = _reduced(x)
    return power + power * rest


@njit(error_model="numpy", forceinline=True)
def expm1(x: float) -> float:
    """Return e to the x less one, with all its digits near zero."""
    power, rest = _reduced(x)
    return (power - 1.0) + power * rest


@njit(error_model="numpy", forceinline=True)
def log10(x: float) -> float:
    """Return the decimal logarithm of a number above zero."""
    whole = bits(x) - ROOT_HALF
    k = from_bits((whole >> 52) + bits(ROUND)) - ROUND
    f = from_bits((whole & 0xFFFFFFFFFFFFF) + ROOT_HALF) - 1.0  # sqrt(1/2) to sqrt(2), less one
    s = f / (2.0 + f)
    z = s * s
    p = 2.0 / 23.0
    p = p * z + 2.0 / 21.0
    p = p * z + 2.0 / 19.0
    p = p * z + 2.0 / 17.0
    p = p * z + 2.0 / 15.0
    p = p * z + 2.0 / 13.0
    p = p * z + 2.0 / 11.0
    p = p * z + 2.0 / 9.0
    p = p * z + 2.0 / 7.0
    p = p * z + 2.0 / 5.0
    p = p * z + 2.0 / 3.0
    whole_log: float = k * LN2_HIGH + (k * LN2_LOW + (2.0 * s + s * z * p))
    return whole_log * LN10_INV


@njit(error_model="numpy", forceinline=True)
def where(which: bool, a: float, b: float) -> float:
    """Return `a` if so, else `b`."""
    return a if which else b


@njit(error_model="numpy", forceinline=True)
def same(a: float) -> float:
    """Return what came."""
    return a
