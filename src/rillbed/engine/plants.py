"""Plantings: expolinear canopy, demand-led uptake, growth held by the element that runs short."""

from dataclasses import dataclass

import numpy as np

from rillbed.engine.inputs import Crop
from rillbed.engine.result import Array
from rillbed.science import uptake

HALF = {"k": 0.5, "ca": 0.5, "mg": 0.2, "p": 0.05, "fe": 0.02, "s": 0.2}  # g/m3
ELEMENTS = ("n", "k", "ca", "mg", "p", "fe")
CATCH_UP = 2.0  # uptake at most this multiple of what growth alone would ask
NO_PLANTS = 0.01  # a planting with fewer than this is gone


@dataclass
class Planting:
    """One planting: dry mass (g) and contents (g) per member."""

    crop: Crop
    name: str
    count: float
    day: int
    mass: Array
    content: dict[str, Array]

    @property
    def area(self) -> float:
        """Bed area the plants fill at their spacing, m2."""
        return self.count / self.crop.plants_per_m2


def start(crop: Crop, name: str, count: float, day: int, members: int) -> Planting:
    """Seedlings with luxury contents."""
    mass = np.full(members, count * crop.start_g)
    return Planting(crop, name, count, day, mass, {e: mass * crop.lux[e] for e in ELEMENTS} | {"s": mass * crop.s})


def potential(p: Planting, temp: Array, light: float, dm_factor: Array) -> Array:
    """Dry gain (g/day) with nothing short: derivative of the expolinear law, by temperature and light."""
    c = p.crop
    warm = np.where(temp < c.t_best, (temp - c.t_low) / (c.t_best - c.t_low), (c.t_high - temp) / (c.t_high - c.t_best))
    canopy = c.canopy_g_m2_day * dm_factor * light
    per_area = canopy * -np.expm1(-c.relative_per_day * p.mass / p.area / np.maximum(canopy, 1e-9))
    return np.asarray(per_area * p.area * np.clip(warm, 0.0, 1.0))


def demand(p: Planting, element: str, gain: Array) -> Array:
    """g/day the planting would take: up to its luxury content, within the catch-up cap."""
    lux = p.crop.s if element == "s" else p.crop.lux[element]
    return uptake.wanted_g(p.mass, gain, p.content[element], lux, CATCH_UP)


def taken(element: str, pool: Array, wanted: Array) -> Array:
    """Give what leaves the water of a mineral in a day, g/m3."""
    return uptake.taken_g_m3(pool, wanted, HALF[element])


def grow(p: Planting, gain: Array) -> tuple[Array, Array]:
    """Add the gain the contents allow; gives the share of `gain` reached and the index of the binding element."""
    allowed = np.stack([uptake.allowed_gain_g(p.mass, p.content[e], p.crop.crit[e]) for e in ELEMENTS])
    least = allowed.min(axis=0)
    real = np.minimum(gain, least)
    binding = np.where(least < gain, allowed.argmin(axis=0), -1)
    p.mass = p.mass + real
    return np.where(gain > 0, real / np.maximum(gain, 1e-12), 1.0), binding


def remove(p: Planting, share: float) -> None:
    """Take out a share of the plants."""
    p.count *= 1.0 - share
    p.mass = p.mass * (1.0 - share)
    p.content = {e: v * (1.0 - share) for e, v in p.content.items()}
