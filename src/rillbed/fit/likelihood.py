"""How probable one answer of a kit is, given what the water holds."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr

from rillbed import facts
from rillbed.engine.result import Array
from rillbed.fit.noise import SHARED, Noise

TRUST = facts.value("fit.trust")  # part of what readings say that is believed

NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
WEIGHTS = WEIGHTS / WEIGHTS.sum()


def bin_probability(on_scale: Array, ends: tuple[float, float], sd: float) -> Array:
    """Probability that a reading falls between `ends`, for water at `on_scale` with error `sd`, without slips."""
    low, high = ends
    return np.asarray(ndtr((high - on_scale) / sd) - ndtr((low - on_scale) / sd))


def with_slips(clean: Array, noise: Noise) -> Array:
    """Allow that the reading has nothing to do with the water."""
    return (1.0 - noise.slip) * clean + noise.slip / noise.bins


def together(on_scale: list[Array], ends: list[tuple[float, float]], noise: Noise) -> Array:
    """Probability of answers that one person read of one thing on one day, of the shape of each of `on_scale`.

    Parameters
    ----------
    on_scale : list of arrays
        What the water held each time, on the kit's scale, with its bias.
    ends
        Interval of each answer on that scale.
    """
    if len(ends) == 1:
        return with_slips(bin_probability(on_scale[0], ends[0], noise.sd), noise)
    # they share one error, so a repeat says less than a second person would
    shared, own = noise.sd * np.sqrt(SHARED), noise.sd * np.sqrt(1.0 - SHARED)
    total = np.zeros(np.shape(on_scale[0]))
    for node, weight in zip(NODES, WEIGHTS, strict=True):
        product = np.ones(np.shape(on_scale[0]))
        for x, e in zip(on_scale, ends, strict=True):
            product = product * with_slips(bin_probability(x + shared * node, e, own), noise)
        total = total + weight * product
    return total
