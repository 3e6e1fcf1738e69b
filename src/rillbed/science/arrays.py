"""Scalars in, scalars out; arrays in, arrays out: the one convention of every relation in this package."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

KELVIN = 273.15


def array(values: ArrayLike) -> Array:
    """Return `values` as a float array without copying where none is needed."""
    return np.asarray(values, dtype=np.float64)


def plain(values: ArrayLike) -> Array:
    """Turn a 0-d array back into the scalar the caller gave; leave other arrays alone."""
    scalar_or_array: Array = np.asarray(values, dtype=np.float64)[()]
    return scalar_or_array
