"""Plantings: expolinear canopy, demand-led uptake, growth held by the element that runs short."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine.inputs import Crop, Number
from rillbed.engine.result import Array
from rillbed.science import uptake

LIMITING = ("n", "k", "ca", "mg", "p", "fe")
TAKEN = ("k", "ca", "mg", "p", "fe", "s")
G_M2_PER_T_HA = 100.0
NO_PLANTS = 0.01  # a planting with fewer than this is gone
WITHIN = 0.95  # a sampled critical content stays under the sampled luxury content


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


def start(crop: Crop, name: str, count: float, day: int, params: Mapping[str, Array]) -> Planting:
    """Seedlings with luxury contents."""
    mass = np.full(len(params["mu_a"]), count * crop.start_g)
    new = Planting(crop, name, count, day, mass, {})
    new.content = {e: mass * luxury(new, e, params) for e in ("n", *TAKEN)}
    return new


def luxury(p: Planting, element: str, params: Mapping[str, Array], gain: Array | float = 0.0) -> Array:
    """Share of dry mass uptake tends to once the planting has gained `gain`."""
    if element == "n":
        return full_n(p, gain) * (facts.choice("plant.n_luxury") if p.crop.n_curve else 1.0) * params["n_lux"]
    if element in ("fe", "s"):
        return np.asarray(facts.choice("plant.fe_lux_pct" if element == "fe" else "plant.s_pct") / 100.0)
    return params[f"{element}_lux_pct"] / 100.0


def critical(p: Planting, element: str, params: Mapping[str, Array]) -> Array:
    """Share of dry mass below which growth stops."""
    if element == "n":
        least = full_n(p) * (1.0 if p.crop.n_curve else facts.choice("plant.n_crit_share")) * params["n_crit"]
    elif element == "fe":
        least = np.asarray(facts.choice("plant.fe_crit_pct") / 100.0)
    else:
        least = params[f"{element}_crit_pct"] / 100.0
    return np.minimum(least, WITHIN * luxury(p, element, params))


def full_n(p: Planting, gain: Array | float = 0.0) -> Array:
    """Nitrogen content of full growth: the crop's curve at its present mass, or its table value."""
    if p.crop.n_curve is None:
        return np.asarray(p.crop.n)
    shoot = facts.choice("plant.shoot_share") * (p.mass + gain) / max(p.area, 1e-9) / G_M2_PER_T_HA
    return uptake.critical_n_pct.inner(shoot, *p.crop.n_curve) / 100.0


def potential(p: Planting, temp_c: Number, light_mol: Number, dm_factor: Array) -> Array:
    """Dry gain (g/day) with nothing short: the expolinear law, light on the canopy and warmth on the rate."""
    c = p.crop
    canopy = c.canopy_g_m2_day * dm_factor * uptake.light_factor.inner(light_mol, c.light_mol)
    rate = c.relative_per_day * uptake.temperature_factor.inner(temp_c, c.t_low, c.t_best, c.t_high)
    per_area = p.mass / p.area
    return np.asarray((uptake.grown_g_m2.inner(per_area, canopy, rate) - per_area) * p.area)


def kc(p: Planting) -> Array:
    """Crop coefficient of evapotranspiration: from the first to the full one as the canopy closes."""
    cover = uptake.cover_share.inner(p.mass / p.area, p.crop.canopy_g_m2_day, p.crop.relative_per_day)
    return np.asarray(p.crop.kc_ini + (p.crop.kc_mid - p.crop.kc_ini) * cover)


def demand(p: Planting, element: str, gain: Array, params: Mapping[str, Array]) -> Array:
    """g/day the planting would take: up to its luxury content, within the catch-up cap."""
    lux = luxury(p, element, params, gain)
    return uptake.wanted_g.inner(p.mass, gain, p.content[element], lux, facts.choice("plant.catch_up"))


def taken(element: str, pool: Array, wanted: Array) -> Array:
    """Give what leaves the water of a mineral in a day, g/m3."""
    return uptake.taken_g_m3.inner(pool, wanted, facts.choice(f"plant.half_{element}_mg_l"))


def grow(p: Planting, gain: Array, params: Mapping[str, Array]) -> tuple[Array, Array]:
    """Add the gain the contents allow; gives the share of `gain` reached and the index of the binding element."""
    allowed = np.stack([uptake.allowed_gain_g.inner(p.mass, p.content[e], critical(p, e, params)) for e in LIMITING])
    least = allowed.min(axis=0)
    real = np.minimum(gain, least)
    binding = np.where(least < gain, allowed.argmin(axis=0), -1)
    p.mass = p.mass + real
    return np.where(gain > 0, real / np.maximum(gain, 1e-12), 1.0), binding


def remove(p: Planting, share: float) -> None:
    """Take out a share of the plants."""
    p.count *= 1.0 - share
    _shrink(p, share)


def cut(p: Planting) -> None:
    """Pick leaves, shoots or fruit of plants that go on growing."""
    _shrink(p, p.crop.cut_share)


def _shrink(p: Planting, share: float) -> None:
    p.mass = p.mass * (1.0 - share)
    p.content = {e: v * (1.0 - share) for e, v in p.content.items()}
