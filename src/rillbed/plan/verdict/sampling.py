"""Plausible waters: every quantity drawn inside its reading, or from the members where nobody read it.

The draws are a fixed lattice, one dimension a quantity, so that the same log always gives the same answer and no luck
of a draw decides. What is missing in one water comes from one member: what hangs together in the model stays together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.plan.verdict.evidence import Evidence

Floats = NDArray[np.float64]
COUNT = int(facts.value("verdict.samples"))
# Generator of the lattice: of all for this prime, the one whose worst pair of dimensions is spread best.
GENERATOR = 127
DIMENSIONS = (
    "member", "basis", "tan", "ph", "temperature", "no2", "cl", "alkalinity", "p", "oxygen", "no3", "gh", "ec",
    "chlorine", "co2", "tan~", "ph~", "no2~", "cl~", "alkalinity~", "p~", "oxygen~", "no3~", "gh~", "ec~", "chlorine~",
)  # fmt: skip
COLUMNS = {
    "tan": "tan_mg_l", "no2": "no2_mg_l", "no3": "no3_mg_l", "ph": "ph", "alkalinity": "alkalinity_meq_l",
    "oxygen": "o2_min_mg_l", "temperature": "temp_c", "cl": "cl_mg_l", "p": "p_mg_l", "co2": "co2_mg_l",
}  # fmt: skip
# An open end of a concentration is followed for the probabilities to this many times the last step.
OPEN_FACTOR = 2.0


def lattice(dimension: str) -> Floats:
    """Each of `COUNT` strata of (0, 1) once, in the order of one dimension of the lattice, (COUNT,).

    Examples
    --------
    >>> strata = np.sort(lattice("tan"))
    >>> bool(np.allclose(strata, (np.arange(COUNT) + 0.5) / COUNT))
    True
    """
    step = pow(GENERATOR, DIMENSIONS.index(dimension), COUNT)
    places: Floats = (np.arange(COUNT) * step % COUNT + 0.5) / COUNT
    return places


@dataclass(frozen=True)
class Samples:
    """Plausible waters of one day.

    `values` maps a quantity to (COUNT,); `basis` says for each where it is from: ``reading``, ``model`` or ``assumed``.
    """

    values: Mapping[str, Floats]
    basis: Mapping[str, str]

    def __contains__(self, quantity: str) -> bool:
        return quantity in self.values

    def __getitem__(self, quantity: str) -> Floats:
        return self.values[quantity]


def draw(
    seen: Mapping[str, Evidence], forecast: Forecast | None, on: date, assumed: Mapping[str, tuple[float, float]]
) -> Samples:
    """Draw the waters.

    Parameters
    ----------
    seen : mapping of quantity to Evidence
        Latest reading of each quantity.
    forecast : Forecast or None
        Members speak where a reading is missing or stale.
    on : date
        Day judged.
    assumed : mapping of quantity to (low, high)
        Ranges to reckon with where neither a reading nor a member speaks.
    """
    model = _members(forecast, on)
    values: dict[str, Floats] = {}
    basis: dict[str, str] = {}
    # What plants eat (potassium, iron, ...) is read too, and no band here is about it.
    for quantity in sorted({*seen, *model, *assumed} & {*DIMENSIONS}):
        item = seen.get(quantity)
        if item is not None and (item.fresh or quantity not in model):
            values[quantity], basis[quantity] = _inside(item), "reading"
        elif quantity in model:
            values[quantity], basis[quantity] = model[quantity], "model"
        else:
            low, high = assumed[quantity]
            values[quantity], basis[quantity] = low + (high - low) * lattice(quantity), "assumed"
    return Samples(values, basis)


def chosen(forecast: Forecast) -> NDArray[np.int64]:
    """Member behind each draw, as many draws each as its weight asks for, (COUNT,)."""
    cumulative = np.cumsum(forecast.weights) / forecast.weights.sum()
    picked: NDArray[np.int64] = np.minimum(
        np.searchsorted(cumulative, lattice("member")), forecast.weights.size - 1
    ).astype(np.int64)
    return picked


def _members(forecast: Forecast | None, on: date) -> dict[str, Floats]:
    """Members of one day, as many times each as its weight asks for."""
    if forecast is None or not 0 <= (on - forecast.start).days <= forecast.days:
        return {}
    row, picked = forecast.index(on), chosen(forecast)
    return {
        quantity: forecast.columns[column][row].astype(np.float64)[picked]
        for quantity, column in COLUMNS.items()
        if column in forecast.columns
    }


def _inside(item: Evidence) -> Floats:
    """Values inside one reading, the kit's own error on top, half of them on either basis where that is unknown."""
    place = lattice(item.quantity)
    found = _spread(item.low, item.high, item, place)
    if item.ion is not None:
        found = np.where(lattice("basis") < 0.5, found, _spread(*item.ion, item, place))
    noise = item.quantity + "~"
    if noise in DIMENSIONS:
        error: Floats = ndtri(lattice(noise))
        found = found * np.exp(item.noise_ln * error) + item.noise_abs * error
    return found if item.quantity == "temperature" else np.maximum(found, 0.0)


def _spread(low: float | None, high: float | None, item: Evidence, place: Floats) -> Floats:
    bottom = item.least if low is None else low
    top = high
    if top is None:
        top = item.most if np.isfinite(item.most) else OPEN_FACTOR * bottom
    spread: Floats = bottom + (top - bottom) * place
    return spread
