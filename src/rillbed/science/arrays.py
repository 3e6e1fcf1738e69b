"""Scalars in, scalars out; arrays in, arrays out: the one convention of every relation in this package."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

KELVIN = 273.15
_FLOAT = np.dtype(np.float64)


def array(values: ArrayLike) -> Array:
    """Return `values` as a float array without copying where none is needed."""
    if type(values) is np.ndarray and values.dtype is _FLOAT:  # the usual case, and the one that is in loops
        return values
    return np.asarray(values, dtype=np.float64)


def clipped(values: ArrayLike, low: ArrayLike, high: ArrayLike) -> Array:
    """Return `values` held between `low` and `high`; short arrays take numpy's own way four times as long."""
    return np.minimum(np.maximum(values, low), high)


def plain(values: ArrayLike) -> Array:
    """Turn a 0-d array back into the scalar the caller gave; leave other arrays alone."""
    if type(values) is np.ndarray and values.ndim and values.dtype is _FLOAT:
        return values
    scalar_or_array: Array = np.asarray(values, dtype=np.float64)[()]
    return scalar_or_array
