"""The Forecast: columns of day-end values for every member, and how to ask it questions."""

from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

COLUMNS = (
    "tan_mg_l", "no2_mg_l", "no3_mg_l", "nh3_mg_l", "ph", "alkalinity_meq_l", "co2_mg_l", "o2_mg_l", "o2_min_mg_l",
    "cap_a_g_m3_day", "cap_n_g_m3_day", "solids_n_mg_l", "temp_c", "volume_m3", "k_mg_l", "ca_mg_l", "mg_mg_l",
    "fe_mg_l", "p_mg_l", "s_mg_l", "na_mg_l", "cl_mg_l", "fish_count", "fish_weight_g", "fish_biomass_g",
    "feed_g_day", "full_ration_g_day", "plant_dm_g", "plant_area_m2", "growth_share", "topup_l_day",
    "n_feed", "n_dose", "n_excreted", "n_mineralised", "n_nitrified", "n_plants", "n_fish", "n_gas", "n_solids_out",
    "n_water", "n_fasting", "n_unexplained",
)  # fmt: skip
"""Names of the forecast columns; flows n_* are g N per day (n_fasting: what fish that lose weight give up), the rest
day-end values (o2_min over the day)."""


@dataclass(frozen=True)
class Forecast:
    """What the members of one loop do from the start of its log to the horizon.

    Attributes
    ----------
    start : date
        Day of index 0 (the loop as set up, before its first day is simulated).
    on : date
        Day the forecast was made for; the log acts up to it, the future rules after it.
    columns : dict of str to (days + 1, members) float32
        See `COLUMNS`; index d holds the value at the end of day start + d.
    weights : (members,)
        Sum to 1.
    completion : (members,)
        Day index at which the start-up challenge was passed; nan when not within the horizon.
    ledger : dict of str to (members,)
        Largest imbalance of each balance over the run, as a share of what went in.
    booked : dict of str to (3, members)
        Grams booked from the start until 31 and 1 day before `on` and 29 days after it, by ``element.cause.in`` or
        ``.out`` (which is negative); zero where the run does not reach. Causes: feed, plants, settled, base, dose,
        water, and the events that move water.
    first_g : dict of str to (members,)
        What the water held to begin with, g.
    since : date, optional
        First day of what was booked, where the run began before `start`.
    """

    start: date
    on: date
    days: int
    members: int
    weights: Array
    columns: dict[str, NDArray[np.float32]]
    completion: Array
    params: dict[str, Array]
    stop: str
    ledger: dict[str, Array]
    digest: str
    notes: tuple[str, ...] = field(default=())
    booked: dict[str, Array] = field(default_factory=dict)
    first_g: dict[str, Array] = field(default_factory=dict)
    since: date | None = None

    @property
    def booked_since(self) -> date:
        """First day of what was booked."""
        return self.since or self.start

    def index(self, day: date) -> int:
        """Row of a day; raises ValueError outside the run."""
        i = (day - self.start).days
        if not 0 <= i <= self.days:
            last = self.start + timedelta(days=self.days)
            raise ValueError(f"day: {day} is outside the forecast ({self.start} to {last})")
        return i

    def at(self, name: str, day: date) -> NDArray[np.float32]:
        """Values of a column at the end of a day, (members,)."""
        row: NDArray[np.float32] = self.columns[name][self.index(day)]
        return row

    def quantile(self, name: str, q: float) -> Array:
        """Weighted quantile of a column for every day, (days + 1,)."""
        return weighted_quantile(self.columns[name].astype(np.float64), self.weights, q)


def weighted_quantile(values: Array, weights: Array, q: float) -> Array:
    """Quantile over the last axis with member weights (sum 1); nan when any contributing value is nan."""
    if not 0.0 <= q <= 1.0:
        raise ValueError(f"q: {q} is not a probability; allowed 0 to 1")
    order = np.argsort(values, axis=-1)
    ranked = np.take_along_axis(values, order, axis=-1)
    below = np.cumsum(weights[order], axis=-1) - 0.5 * weights[order]
    pick = np.clip((below < q).sum(axis=-1), 1, values.shape[-1] - 1) if values.shape[-1] > 1 else None
    if pick is None:
        return ranked[..., 0]
    hi = pick[..., None]
    b0, b1 = np.take_along_axis(below, hi - 1, -1)[..., 0], np.take_along_axis(below, hi, -1)[..., 0]
    v0, v1 = np.take_along_axis(ranked, hi - 1, -1)[..., 0], np.take_along_axis(ranked, hi, -1)[..., 0]
    share = np.clip((q - b0) / np.maximum(b1 - b0, 1e-300), 0.0, 1.0)
    result: Array = v0 + share * (v1 - v0)
    return result
