"""How each reading was foreseen before it was used: the users' own record of how good their forecasts are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

import numpy as np

from rillbed.engine.result import Array
from rillbed.fit import sampler

if TYPE_CHECKING:
    from rillbed.fit.posterior import Posterior

GRAINS = 1 << 20


@dataclass(frozen=True)
class Foreseen:
    """One entry against the forecast made from all entries of the days before.

    Attributes
    ----------
    probability : float
        Of the answer that was read; of an amount, its density on the ln scale.
    place : float
        Where in the forecast it fell, 0 to 1; even over 0 to 1 when the forecasts are as sure as they should be.
        Within the width of one answer the place is drawn by the entry's own identity.
    effective : float
        Members behind this forecast; few make it uncertain.
    """

    entry: UUID
    day: int
    quantity: str
    probability: float
    place: float
    effective: float


def skill(posterior: Posterior) -> tuple[Foreseen, ...]:
    """Score every piece of evidence of a fit, in order of time; empty without evidence."""
    cloud, evidence = posterior.cloud, posterior.evidence
    if cloud is None:
        return ()
    result = []
    days = evidence.days
    named = [(s[0].entry, s[0].quantity) for s in evidence.sessions] + [(i.entry, i.kind) for i in evidence.living]
    for day in np.unique(days):
        w = before(posterior, day)
        for i in np.flatnonzero(days == day):
            entry, quantity = named[i]
            p = float(w @ np.exp(cloud.terms[i]))
            low = float(w @ cloud.below[i])
            measured = i >= len(evidence.sessions) and evidence.living[i - len(evidence.sessions)].measured
            grain = (entry.uuid.int % GRAINS + 0.5) / GRAINS
            place = low if measured else low + grain * p
            result.append(Foreseen(entry.uuid, int(day), quantity, p, float(np.clip(place, 0.0, 1.0)), sampler.ess(w)))
    return tuple(result)


def before(posterior: Posterior, day: float) -> Array:
    """Weights of all simulated points by the log before a day, (points,)."""
    cloud = posterior.cloud
    assert cloud is not None
    # what is known from before this window stays in
    known = cloud.log_l - posterior.evidence.weight(cloud.terms, day)
    return cloud.weights(np.where(np.isfinite(cloud.log_l), known, -np.inf))
