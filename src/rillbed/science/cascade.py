"""One link of the nitrifying chain over one step: an implicit Monod reaction solved in closed form."""

import numpy as np
from numpy.typing import ArrayLike

from rillbed.science.arrays import Array, array, plain
from rillbed.science.checks import AMOUNT, POSITIVE, Range, checked


@checked(s=AMOUNT, k=POSITIVE, v=AMOUNT, b=Range(1.0))
def implicit_monod(s: ArrayLike, k: ArrayLike, v: ArrayLike, b: ArrayLike = 1.0) -> Array:
    """Return what is left of a pool after one implicit step of Monod uptake and a linear draw.

    Solves ``b x + v x / (k + x) = s`` for the root x >= 0, so any step length is stable and nothing turns negative.
    What the reaction took is ``s - b x``; what the linear draw took is ``(b - 1) x``.

    Parameters
    ----------
    s : array_like
        Pool at the start plus everything added in the step, g/m3, >= 0.
    k : array_like
        Half-saturation, g/m3, > 0.
    v : array_like
        Most the reaction could take in the step (rate times step), g/m3, >= 0.
    b : array_like
        One plus the linear draw over the step, >= 1.

    Returns
    -------
    array or scalar, g/m3, between 0 and s/b.

    Notes
    -----
    Derived: backward Euler on a single Monod term is a quadratic. Its positive root is written as the linear part,
    where there is one, plus what the square root adds to it, so that nearly equal numbers are never subtracted.

    Examples
    --------
    >>> round(float(implicit_monod(2.0, 0.5, 1.0)), 4)
    1.2808
    """
    return plain(monod_root(array(s), array(k), array(v), array(b)))


def monod_root(s: Array, k: Array, v: Array, b: Array) -> Array:
    """Do the work of `implicit_monod` on arrays that need no conversion."""
    linear = s - b * k - v
    product = k * s
    # nearly equal numbers are never subtracted; big is above zero because k is
    big = np.sqrt(linear * linear + 4.0 * b * product) + np.abs(linear)
    return np.asarray(np.maximum(linear, 0.0) / b + 2.0 * product / big)
