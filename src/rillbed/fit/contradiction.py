"""Readings that nothing foresaw, as questions: were they misread, or did something happen that nobody wrote down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal
from uuid import UUID

import numpy as np

from rillbed import facts
from rillbed.engine.result import Array, weighted_quantile
from rillbed.fit.bias import Bias
from rillbed.fit.evidence import Answer
from rillbed.fit.follow import Look
from rillbed.fit.noise import METER_BINS
from rillbed.fit.skill import before

if TYPE_CHECKING:
    from rillbed.fit.posterior import Posterior

LEFT = (0.1, 0.2, 0.3, 0.5, 0.7)  # shares of the water that may have been replaced
CAME = (1.0, 2.0, 5.0, 10.0, 20.0)  # of the kit's finest difference that may have come in
KEPT = ("no3", "k", "na", "cl", "s")  # what only leaves with water, or slowly
Event = Literal["water_left", "more_came_in"]


@dataclass(frozen=True)
class Contradiction:
    """One session of readings held out.

    Attributes
    ----------
    entries : tuple of UUID
        The readings.
    low, high : float
        80 % of members lay between these beforehand, canonical unit of the quantity.
    probability : float
        Of the reading beforehand, slips aside.
    misread : float
        Probability that it was misread, against `event`.
    event : str
        What would explain it otherwise.
    size : float
        Most probable size of that event: share of the water, or what came in, in the unit of the quantity.
    ask : bool
        Whether the odds are even enough to ask; otherwise the reading is treated as the likelier of the two.
    """

    entries: tuple[UUID, ...]
    day: int
    quantity: str
    low: float
    high: float
    probability: float
    misread: float
    event: Event
    size: float
    ask: bool


def contradictions(posterior: Posterior) -> tuple[Contradiction, ...]:
    """List the sessions of readings that were less probable beforehand than the limit, in order of time."""
    if posterior.cloud is None:
        return ()
    found = []
    limit = facts.value("fit.contradiction")
    for i, session in enumerate(posterior.evidence.sessions):
        w = before(posterior, session[0].look.day)
        noise = session[0].noise
        slips = (noise.slip / noise.bins) ** len(session)
        clean = max(float(w @ np.exp(posterior.cloud.terms[i])) - slips, 0.0)
        if clean < limit:
            found.append(_question(posterior, i, w, clean))
    return tuple(found)


def _question(posterior: Posterior, i: int, w: Array, clean: float) -> Contradiction:
    cloud = posterior.cloud
    assert cloud is not None
    session = posterior.evidence.sessions[i]
    first = session[0]
    place = posterior.evidence.answers.index(first)
    values = cloud.values[place]
    low, high = (float(weighted_quantile(values, w, q)) for q in (0.1, 0.9))
    ends = first.reading.interval
    short = ends[1] is not None and ends[1] < float(w @ values)
    event: Event = "water_left" if short else "more_came_in"
    finest = first.noise.sd if first.noise.additive else first.noise.least
    if first.noise.bins == METER_BINS and not first.noise.additive:  # a meter has no steps
        finest = max(finest, first.noise.sd * float(w @ values))
    sizes = LEFT if short else tuple(finest * x for x in CAME)
    # what was read of the same thing afterwards decides: a slip is gone by then, an event is not
    later = [s for s in posterior.evidence.sessions if _bears_on(s[0], first)]
    chance = facts.value("fit.unlogged_per_day") * _gap(posterior, first)
    misread = _evidence(posterior, w, later, first, event, 0.0) + np.log(first.noise.slip / first.noise.bins)
    events = np.array([_evidence(posterior, w, [session, *later], first, event, size) for size in sizes])
    happened = float(np.logaddexp.reduce(events) - np.log(len(sizes)) + np.log(min(chance, 0.5)))
    odds = float(np.exp(np.clip(misread - happened, -50.0, 50.0)))
    even = facts.value("fit.even_odds")
    return Contradiction(
        tuple(a.entry.uuid for a in session), first.look.day, first.quantity, low, high, clean, odds / (1.0 + odds),
        event, sizes[int(np.argmax(events))], 1.0 / even < odds < even,
    )  # fmt: skip


def _bears_on(other: Answer, held: Answer) -> bool:
    same = other.quantity == held.quantity or (held.quantity in KEPT and other.quantity in KEPT)
    return same and (other.look.day, other.entry.at) > (held.look.day, held.entry.at)


def _gap(posterior: Posterior, held: Answer) -> float:
    """Days since the thing was read before."""
    days = [a.look.day for a in posterior.evidence.answers if a.quantity == held.quantity]
    earlier = [d for d in days if d < held.look.day]
    return float(held.look.day - (max(earlier) if earlier else 0))


def _evidence(
    posterior: Posterior, w: Array, sessions: list[tuple[Answer, ...]], held: Answer, event: Event, size: float
) -> float:
    """Ln probability of sessions for the members as weighed before, if an event of this size happened."""
    cloud = posterior.cloud
    assert cloud is not None
    if not sessions:
        return 0.0
    c, z = posterior.coordinates, cloud.z
    rows = {a.look: cloud.values[i] for i, a in enumerate(posterior.evidence.answers)}
    seen: Mapping[Look, Array] = {a.look: _moved(rows[a.look], a, held, event, size) for s in sessions for a in s}
    total = np.zeros(z.shape[1])
    kits: dict[tuple[str | None, str], Bias] = {}
    for session in sessions:
        bias = kits.setdefault(session[0].kit, Bias.of(session[0], z.shape[1]))
        total = total + bias.take_in(session, seen, c, z)
    return float(np.logaddexp.reduce(np.log(np.maximum(w, 1e-300)) + total))


def _moved(values: Array, answer: Answer, held: Answer, event: Event, size: float) -> Array:
    if event == "water_left":
        return values * (1.0 - size) if answer.quantity in KEPT or answer.quantity == held.quantity else values
    return values + size if answer.quantity == held.quantity else values
