"""Quantiles over weighted members: the one place where an ensemble becomes a range."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed.plan.bands import Band

Floats = NDArray[np.float64]


def quantile(values: object, weights: object, q: float) -> float:
    """Smallest value whose cumulative weight reaches ``q``; infinities sort to the ends.

    Parameters
    ----------
    values, weights : array_like, shape (members,)
        Member values and non-negative weights (need not sum to one).
    q : float
        Share of the weight, 0 to 1.

    Raises
    ------
    ValueError
        If ``q`` is outside 0..1 or a value is NaN.

    Examples
    --------
    >>> quantile([3.0, 1.0, 2.0, 4.0], [1, 1, 1, 1], 0.5)
    2.0
    """
    x = np.asarray(values, dtype=float)
    w = np.asarray(weights, dtype=float)
    if not 0.0 <= q <= 1.0:
        raise ValueError(f"q = {q}: must lie between 0 and 1")
    if np.isnan(x).any():
        raise ValueError("values: NaN has no rank; count such members apart")
    order = np.argsort(x, kind="stable")
    cumulative = np.cumsum(w[order])
    # A relative hair keeps q = k/n from slipping to the next member by rounding.
    at = np.searchsorted(cumulative, q * cumulative[-1] * (1 - 1e-12))
    return float(x[order][min(int(at), x.size - 1)])


def band(values: object, weights: object) -> Band:
    """10, 50 and 90 % points of member values, shape (members,)."""
    return Band(quantile(values, weights, 0.1), quantile(values, weights, 0.5), quantile(values, weights, 0.9))


def share(condition: object, weights: object) -> float:
    """Weight of the members for which ``condition`` holds, 0 to 1."""
    w = np.asarray(weights, dtype=float)
    return float(w[np.asarray(condition, dtype=bool)].sum() / w.sum())


def date_quantile(days: object, weights: object, start: date, q: float) -> date | None:
    """Date by which the share ``q`` of members has got there; ``None`` if the horizon is too short.

    ``days`` counts from ``start``, NaN for a member that does not get there.
    """
    x = np.asarray(days, dtype=float)
    day = quantile(np.where(np.isnan(x), np.inf, x), weights, q)
    return None if np.isinf(day) else start + timedelta(days=int(day))
