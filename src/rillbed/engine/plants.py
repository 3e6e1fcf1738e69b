"""Plantings: expolinear canopy, demand-led uptake, growth held by the element that runs short."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from rillbed import facts
from rillbed.engine.inputs import Crop, Number
from rillbed.engine.result import Array
from rillbed.engine.state import S
from rillbed.science import uptake

TAKEN = ("k", "ca", "mg", "fe", "p", "s")  # in the order of their rows of the state
ROWS = slice(S.K, S.S + 1)
HELD = {e: row for row, e in enumerate(("n", *TAKEN))}  # rows of what a planting holds
MINERALS, LEAST = slice(1, len(HELD)), slice(1, len(HELD) - 1)  # those of `TAKEN`, and of `SHORT`
SHORT = ("k", "ca", "mg", "fe", "p")  # minerals that may hold growth back, in the same order
LIMITING = ("n", *SHORT)
G_M2_PER_T_HA = 100.0
NO_PLANTS = 0.01  # a planting with fewer than this is gone
WITHIN = 0.95  # a sampled critical content stays under the sampled luxury content


@dataclass
class Planting:
    """One planting: dry mass (g) and what it holds (g), a row for each of `HELD`, per member."""

    crop: Crop
    name: str
    count: float
    day: int
    mass: Array
    held: Array

    @property
    def area(self) -> float:
        """Bed area the plants fill at their spacing, m2."""
        return self.count / self.crop.plants_per_m2


@dataclass(frozen=True)
class Shares:
    """Contents of minerals that hold for every planting, shares of dry mass: a row for each of `TAKEN` and `SHORT`."""

    luxury: Array
    critical: Array


def shares(params: Mapping[str, Array]) -> Shares:
    """Gather the contents of some members."""
    shape = (len(TAKEN), len(params["mu_a"]))
    full, least = np.empty(shape), np.empty(shape)
    for row, e in enumerate(TAKEN):
        full[row] = mineral_luxury(e, params)
    for row, e in enumerate(SHORT):
        least[row] = _least(facts.choice("plant.fe_crit_pct") if e == "fe" else params[f"{e}_crit_pct"], full[row])
    return Shares(full, least[: len(SHORT)])


def _least(critical_pct: Array | float, luxury: Array) -> Array:
    return np.minimum(critical_pct / 100.0, WITHIN * luxury)


def start(crop: Crop, name: str, count: float, day: int, params: Mapping[str, Array]) -> Planting:
    """Seedlings with luxury contents."""
    mass = np.full(len(params["mu_a"]), count * crop.start_g)
    return full(Planting(crop, name, count, day, mass, nothing(*mass.shape)), params)


def nothing(*shape: int) -> Array:
    """Contents of plantings that hold nothing yet, a row for each of `HELD`."""
    return np.zeros((len(HELD), *shape))


def full(p: Planting, params: Mapping[str, Array]) -> Planting:
    """Fill a planting with its luxury contents."""
    for element, row in HELD.items():
        p.held[row] = p.mass * luxury(p, element, params)
    return p


def luxury(p: Planting, element: str, params: Mapping[str, Array], gain: Array | float = 0.0) -> Array:
    """Share of dry mass uptake tends to once the planting has gained `gain`."""
    if element == "n":
        return full_n(p, gain) * (facts.choice("plant.n_luxury") if p.crop.n_curve else 1.0) * params["n_lux"]
    return mineral_luxury(element, params)


def mineral_luxury(element: str, params: Mapping[str, Array]) -> Array:
    """Share of dry mass the take-up of a mineral tends to."""
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
    return uptake.wanted_g.inner(p.mass, gain, p.held[HELD[element]], lux, facts.choice("plant.catch_up"))


def wanted(p: Planting, gain: Array, tends_to: Shares) -> Array:
    """Give `demand` for every mineral of `TAKEN`, g/day, (minerals, members)."""
    return uptake.wanted_g.inner(p.mass, gain, p.held[MINERALS], tends_to.luxury, facts.choice("plant.catch_up"))


def taken(pools: Array, wanted: Array) -> Array:
    """Give what leaves the water of the minerals in a day, g/m3, from what is there and wanted; rows as `TAKEN`."""
    return uptake.taken_g_m3.inner(pools, wanted, _half())


@cache
def _half() -> Array:
    """Concentrations at which half of what is wanted is taken, g/m3."""
    return np.array([[facts.choice(f"plant.half_{e}_mg_l")] for e in TAKEN])


def fed(p: Planting, grams: Array) -> None:
    """Add what was taken up, a row for each of `TAKEN`."""
    p.held[MINERALS] += grams


def grow(p: Planting, gain: Array, params: Mapping[str, Array], needs: Shares) -> Array:
    """Add the gain the contents allow; gives the share of `gain` reached."""
    least = uptake.allowed_gain_g.inner(p.mass, p.held[LEAST], needs.critical).min(axis=0)
    by_n = uptake.allowed_gain_g.inner(p.mass, p.held[HELD["n"]], critical(p, "n", params))
    real = np.minimum(gain, np.minimum(by_n, least))
    p.mass = p.mass + real
    return np.where(gain > 0, real / np.maximum(gain, 1e-12), 1.0)


def remove(p: Planting, share: float) -> None:
    """Take out a share of the plants."""
    p.count *= 1.0 - share
    _shrink(p, share)


def cut(p: Planting) -> None:
    """Pick leaves, shoots or fruit of plants that go on growing."""
    _shrink(p, p.crop.cut_share)


def _shrink(p: Planting, share: float) -> None:
    p.mass = p.mass * (1.0 - share)
    p.held *= 1.0 - share
