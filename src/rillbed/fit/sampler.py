"""Adaptive importance sampling in the directions the log speaks about.

Members are points in a round prior cloud. Each round simulates a fresh set, drawn from a bell that has the tempered
posterior's middle and spread in the few directions the readings depend on and is the prior in all others. Every point
of every round counts, weighted against the mixture of all bells, so no simulation is wasted on a rejected move, and
the first round (the prior itself) keeps every weight bounded.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from rillbed.engine.result import Array

INFORMED = 0.15  # least information of a direction worth following; 1 halves a variance
MOST_DIRECTIONS = 24
LAST = 2  # rounds whose points the regression uses
RIDGE = 5.0  # prior points added to the regression, in units of one
SAME = 0.1  # singular value under which two directions count as one
WIDER = 1.15  # bells are wider than what they follow, so that their edges are visited
LEAST_VARIANCE = 1e-4


@dataclass(frozen=True)
class Bell:
    """A proposal: normal in the columns of `basis` (names, directions), prior across them."""

    basis: Array
    middle: Array
    cov: Array

    def draw(self, fresh: Array) -> Array:
        """Turn prior points (names, members) into points of this bell."""
        u = self.basis.T @ fresh
        moved = self.middle[:, None] + np.linalg.cholesky(self.cov) @ u
        return np.asarray(fresh + self.basis @ (moved - u))

    def log_ratio(self, z: Array) -> Array:
        """Ln of this bell's density over the prior's at points `z`, (members,)."""
        u = self.basis.T @ z
        x = u - self.middle[:, None]
        _, logdet = np.linalg.slogdet(self.cov)
        return np.asarray(-0.5 * ((x * np.linalg.solve(self.cov, x)).sum(0) + logdet) + 0.5 * (u * u).sum(0))


@dataclass
class Cloud:
    """All points simulated so far.

    Attributes
    ----------
    z : (names, points)
    log_l : (points,)
        Ln probability of the whole log.
    shown : (answers, points)
        What each reading should show, on its kit's scale.
    terms, below : (terms, points)
        Ln probability of each piece of evidence given all before it, and probability of less than was found.
    values : (answers, points)
        What the water held at each reading, canonical units.
    kept : (names, r), optional
        Directions known before this log, to be followed whatever its readings say.
    """

    z: Array
    log_l: Array
    shown: Array
    terms: Array
    below: Array
    values: Array
    kept: Array | None = None
    bells: list[Bell | None] = field(default_factory=lambda: [None])
    sizes: list[int] = field(default_factory=list)
    _mix: Array | None = None

    def add(self, other: Cloud, bell: Bell | None) -> None:
        """Take in another round."""
        self.z = np.concatenate([self.z, other.z], axis=1)
        self.log_l = np.concatenate([self.log_l, other.log_l])
        self.shown = np.concatenate([self.shown, other.shown], axis=1)
        self.terms = np.concatenate([self.terms, other.terms], axis=1)
        self.below = np.concatenate([self.below, other.below], axis=1)
        self.values = np.concatenate([self.values, other.values], axis=1)
        self.bells.append(bell)
        self.sizes.append(other.z.shape[1])
        self._mix = None

    def log_mix(self) -> Array:
        """Ln density of the mixture of all rounds over the prior's, (points,)."""
        if self._mix is None:
            self._mix = self._mixture()
        return self._mix

    def _mixture(self) -> Array:
        n = sum(self.sizes)
        parts = [
            np.log(size / n) + (np.zeros(self.z.shape[1]) if bell is None else bell.log_ratio(self.z))
            for bell, size in zip(self.bells, self.sizes, strict=True)
        ]
        return np.asarray(np.logaddexp.reduce(np.stack(parts), axis=0))

    def weights(self, log_l: Array, exponent: float = 1.0) -> Array:
        """Weights of the points when the log counts with this exponent; sum to 1."""
        log_w = np.where(np.isfinite(log_l), exponent * np.where(np.isfinite(log_l), log_l, 0.0), -np.inf)
        log_w = log_w - self.log_mix()
        w = np.exp(log_w - log_w.max())
        return np.asarray(w / w.sum())


def joined(parts: list[Cloud]) -> Cloud:
    """Make one round of its parts."""
    rows = ("z", "log_l", "shown", "terms", "below", "values")
    z, log_l, shown, terms, below, values = (np.concatenate([getattr(p, row) for p in parts], axis=-1) for row in rows)
    return Cloud(z, log_l, shown, terms, below, values, sizes=[z.shape[1]])


def ess(w: Array) -> float:
    """Effective number of points."""
    return float(1.0 / np.sum(w * w))


def exponent(cloud: Cloud, target: float) -> float:
    """Largest share of the log that leaves `target` effective points."""
    if ess(cloud.weights(cloud.log_l)) >= target:
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(20):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if ess(cloud.weights(cloud.log_l, middle)) >= target else (low, middle)
    return low


def directions(cloud: Cloud, spread: Array, tempered: float) -> Array:
    """Directions the readings depend on, orthonormal columns (names, r): a regression of what readings show on z.

    The last rounds' points are taken as they lie, near the posterior and many; the weights would leave too few.

    Parameters
    ----------
    spread : (answers,)
        Reading error with the width of the answer, on the kit's scale.
    """
    if not len(cloud.shown):
        return np.zeros((len(cloud.z), 0))
    n = sum(cloud.sizes[-LAST:])
    z, shown = cloud.z[:, -n:], cloud.shown[:, -n:]
    x, y = z - z.mean(axis=1, keepdims=True), shown - shown.mean(axis=1, keepdims=True)
    slope = np.linalg.solve(x @ x.T + RIDGE * np.eye(len(z)), x @ y.T)
    rest = np.mean((y - slope.T @ x) ** 2, axis=1)
    precise = slope / np.sqrt(spread**2 + rest)
    values, vectors = np.linalg.eigh(tempered * precise @ precise.T)
    keep = np.flatnonzero(values > INFORMED)[::-1][:MOST_DIRECTIONS]
    return np.asarray(vectors[:, keep])


CLIP = 3.0


def clipped(w: Array) -> Array:
    """Bring large weights down to a few times that of an effective point: a bell must not follow one lucky point."""
    w = np.minimum(w, CLIP / ess(w))
    return np.asarray(w / w.sum())


def bell(cloud: Cloud, w: Array, spread: Array, tempered: float) -> Bell:
    """Fit the next bell to the weighted points."""
    return bell_over(followed(cloud, spread, tempered), cloud.z, clipped(w))


def followed(cloud: Cloud, spread: Array, tempered: float) -> Array:
    """Directions the readings depend on, and those known before, as orthonormal columns."""
    found = directions(cloud, spread, tempered)
    if cloud.kept is None:
        return found
    vectors, sizes, _ = np.linalg.svd(np.hstack([cloud.kept, found]), full_matrices=False)
    return np.asarray(vectors[:, sizes > SAME])


def bell_over(basis: Array, z: Array, w: Array) -> Bell:
    """Fit a bell to weighted points in given directions."""
    u = basis.T @ z
    middle = u @ w
    x = u - middle[:, None]
    cov = (w * x) @ x.T
    # a few effective points say little about a covariance: the prior's is mixed in by as much
    trust = ess(w) / (ess(w) + len(u))
    cov = WIDER * (trust * cov + (1.0 - trust) * np.diag(np.diag(cov))) + LEAST_VARIANCE * np.eye(len(u))
    return Bell(basis, middle, cov)


Simulate = Callable[[Array], Cloud]


def sample(
    first: Cloud, simulate: Simulate, fresh: Callable[[int], Array], spread: Array, *, rounds: int, temper: float,
    wanted: float, progress: Callable[[float], None] | None = None,
) -> tuple[Cloud, float]:  # fmt: skip
    """Simulate rounds until the whole log leaves `wanted` effective points, or the rounds are used up.

    Parameters
    ----------
    first : Cloud
        A round of the prior.
    fresh : callable
        Prior points of a round, by its number.
    temper : float
        Effective points that each step towards the whole log leaves.

    Returns
    -------
    cloud : Cloud
    reached : float
        Share of the log that it could take in, 1 when it is the posterior.
    """
    cloud = first
    reached = exponent(cloud, temper)
    for done in range(rounds):
        if reached >= 1.0 and ess(cloud.weights(cloud.log_l)) >= wanted:
            break
        w = cloud.weights(cloud.log_l, reached)
        next_bell = bell(cloud, w, spread, reached)
        cloud.add(simulate(next_bell.draw(fresh(done + 1))), next_bell)
        reached = exponent(cloud, temper)
        if progress:
            progress((done + 1) / rounds)
    return cloud, reached


def systematic(w: Array, count: int, offset: float = 0.5) -> Array:
    """Places of `count` points drawn evenly by weight; the same weights always give the same places."""
    return np.searchsorted(np.cumsum(w), (np.arange(count) + offset) / count).clip(0, len(w) - 1)
