"""What a log has taught: only the directions in which the members are closer together than before it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rillbed.fit import sampler

if TYPE_CHECKING:
    from rillbed.fit.posterior import Posterior

TAUGHT = 0.5  # variance over the prior's under which a direction carries more than one unit of information
NAMED = 3  # names that describe a direction
TOUCHED = 0.9  # spread over the prior's under which a single name is worth listing


@dataclass(frozen=True)
class Direction:
    """One learned combination.

    Attributes
    ----------
    loads : tuple of (name, load)
        The names that make up most of it, largest first; loads are of unit length over all names.
    spread : float
        Spread of the members along it; it was 1 before the log.
    shift : float
        How far the middle moved, in spreads of before the log.
    """

    loads: tuple[tuple[str, float], ...]
    spread: float
    shift: float


def directions(posterior: Posterior, error: np.ndarray) -> tuple[Direction, ...]:
    """List the learned directions, best known first; `error` is the reading error of each answer on its scale."""
    cloud = posterior.cloud
    if cloud is None:
        return ()
    basis = sampler.directions(cloud, error, 1.0)
    u = basis.T @ cloud.z
    middle = u @ posterior.weights
    x = u - middle[:, None]
    values, vectors = np.linalg.eigh((posterior.weights * x) @ x.T)
    result = []
    for value, vector in zip(values, vectors.T, strict=True):
        if value >= TAUGHT:
            continue
        load = basis @ vector
        load = load * np.sign(load[np.argmax(np.abs(load))])
        first = np.argsort(-np.abs(load))[:NAMED]
        named = tuple((posterior.coordinates.names[i], float(load[i])) for i in first)
        shift = float(load @ (cloud.z @ posterior.weights))
        result.append(Direction(named, float(np.sqrt(value)), shift))
    return tuple(result)


def spreads(posterior: Posterior) -> dict[str, float]:
    """Spread of every single name over the prior's, where the log has narrowed it."""
    if posterior.cloud is None:
        return {}
    z, w = posterior.cloud.z, posterior.weights
    sd = np.sqrt(np.maximum((z - (z @ w)[:, None]) ** 2 @ w, 0.0))
    return {name: float(s) for name, s in zip(posterior.coordinates.names, sd, strict=True) if s < TOUCHED}
