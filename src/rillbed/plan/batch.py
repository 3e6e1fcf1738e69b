"""How many plants of one batch every member carries over the batch's whole life, and what binds.

Each element's pool without the batch is affine in the number of plants n as long as uptake follows demand:
pool - n * draw. So the largest n of a member is the smallest ratio over elements and days, and the chance
constraint over elements and time together is one weighted quantile of that number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rillbed.plan.answers import Binding
from rillbed.plan.members import quantile, share

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Element:
    """One element's pool and the draw of one plant on it, both (days, members), mg/L; floor in mg/L."""

    pool: Floats
    draw: Floats
    floor: float


@dataclass(frozen=True)
class Capacity:
    """Plants per member and the limit that binds in each: (members,) each; ``days`` counts from planting."""

    plants: Floats
    limits: tuple[str, ...]
    which: NDArray[np.intp]
    days: NDArray[np.intp]


def draw_of_one(uptake_g_day: Floats, loss_per_day: Floats, volume_m3: Floats) -> Floats:
    """Lowering of the pool by one plant at every day end, mg/L.

    Parameters
    ----------
    uptake_g_day : (days, 1) or (days, members)
        Daily uptake of one plant, g.
    loss_per_day : (days, members)
        First-order loss of the element (gas, chelate decay, water drained), 1/day: water that is lost anyway
        cannot also be missed, so it shrinks an earlier draw.
    volume_m3 : (days, members)
        Water volume.
    """
    shape: tuple[int, ...] = np.broadcast_shapes(uptake_g_day.shape, loss_per_day.shape, volume_m3.shape)
    held = np.zeros(shape)
    taken = np.zeros(shape[1:])
    uptake = np.broadcast_to(uptake_g_day, held.shape)
    loss = np.broadcast_to(loss_per_day, held.shape)
    for day in range(held.shape[0]):
        taken = taken * np.exp(-loss[day]) + uptake[day]
        held[day] = taken
    return held / volume_m3


def capacity(elements: Mapping[str, Element]) -> Capacity:
    """Largest batch of every member, floored at zero, over all elements and days.

    Raises
    ------
    ValueError
        If no element is given or a draw is negative.
    """
    if not elements:
        raise ValueError("elements: at least one must limit the batch")
    best: list[Floats] = []
    when: list[NDArray[np.intp]] = []
    for name, element in elements.items():
        if (element.draw < 0).any():
            raise ValueError(f"{name}: a plant's draw must not be negative")
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = np.where(element.draw > 0, (element.pool - element.floor) / element.draw, np.inf)
        day = np.argmin(ratio, axis=0)
        when.append(day)
        best.append(np.maximum(np.take_along_axis(ratio, day[None], axis=0)[0], 0.0))
    table = np.stack(best)
    which = np.argmin(table, axis=0)
    members = np.arange(table.shape[1])
    return Capacity(table[which, members], tuple(elements), which, np.stack(when)[which, members])


def largest_batch(found: Capacity, weights: Floats, confidence: float) -> int | None:
    """Largest n that at least ``confidence`` of the weight carries; ``None`` with too few members to tell.

    Ten members' worth of weight must lie in the tail, else the quantile is luck.
    """
    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence = {confidence}: must lie between 0 and 1")
    w = np.asarray(weights, dtype=float)
    effective = w.sum() ** 2 / (w**2).sum()
    if effective * (1.0 - confidence) < 10.0 * (1 - 1e-9):
        return None
    top = quantile(found.plants, w, 1.0 - confidence)
    return int(np.floor(min(top, 1e6) + 1e-9))


def with_additions(limiting: Mapping[str, Element], weights: Floats, confidence: float) -> tuple[tuple[str, ...], int]:
    """Elements to add before even one plant can go in, the shortest supply first, and the batch once they are there.

    Nitrogen comes with the feed and is never on the list: where it binds, nothing helps but waiting.
    """
    left = dict(limiting)
    added: list[str] = []
    while True:
        found = capacity(left)
        count = largest_batch(found, weights, confidence) or 0
        short = binding(found, weights)[0].limit
        if count >= 1 or short == "n" or len(left) == 1:
            return tuple(added), count
        added.append(short)
        del left[short]


def binding(found: Capacity, weights: Floats) -> tuple[Binding, ...]:
    """Limits that bind in some member, the most frequent first."""
    out = []
    for at, name in enumerate(found.limits):
        here = found.which == at
        if here.any():
            day = quantile(found.days[here].astype(float), weights[here], 0.5)
            out.append(Binding(name, share(here, weights), int(day)))
    return tuple(sorted(out, key=lambda item: (-item.chance, item.limit)))


def grams_to_add(element: Element, plants: float, volume_m3: Floats, weights: Floats, confidence: float) -> float:
    """Grams of a supplemented element that keep the batch above the floor in ``confidence`` of the weight."""
    short = (plants * element.draw - element.pool + element.floor) * volume_m3
    return max(0.0, quantile(short.max(axis=0), weights, confidence))
