"""What the steps need to know of one loop: plain numbers, already in canonical units."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rillbed.engine.state import MINERALS, S
from rillbed.science.feed import FISH_N

Number = float | NDArray[np.float64]


@dataclass(frozen=True)
class Water:
    """A water: alkalinity in eq/m3, ammonia-N, nitrate-N and minerals in g/m3."""

    alk: Number
    no3: Number
    ions: Mapping[str, Number]
    tan: Number = 0.0  # what comes out of chloramine

    @cached_property
    def column(self) -> NDArray[np.float64]:
        """State column (states, 1), or one per member: only what the water carries."""
        y = np.zeros((len(S), np.size(self.alk)))
        y[S.TAN], y[S.NO3], y[S.ALK] = self.tan, self.no3, self.alk
        for name, row in MINERALS.items():
            y[row] = self.ions.get(name, 0.0)
        return y


@dataclass(frozen=True)
class Fish:
    """Growth of one species: thermal growth coefficient per 1000, feed conversion, limits (g/m3), temperatures."""

    tgc: float
    tgc_at_c: float  # where the coefficient was measured
    fcr: float
    tan_limit: float
    no2_limit: float  # as N
    cl_guard: float  # nitrite-N (g/m3) kept out of the blood by each g/m3 of chloride
    o2_want: float
    o2_crit: float
    t_stop: float  # no feed below
    t_low: float
    t_best: float
    t_high: float
    table: tuple[tuple[float, float], ...]  # feed table: weight in g, most feed per g of fish and day
    harvest_g: float  # full growth up to here
    end_g: float  # none from here
    n_body: float = FISH_N


@dataclass(frozen=True)
class Crop:
    """Growth, contents and water use of one crop: dry grams, shares of dry matter, rates in full light and warmth.

    `n_curve` is the dilution curve of its shoots (percent at 1 t/ha, exponent); without one nitrogen tends to `n`.
    """

    plants_per_m2: float
    start_g: float  # dry g per plant when planted
    canopy_g_m2_day: float
    relative_per_day: float
    days: int
    n: float
    n_curve: tuple[float, float] | None
    t_low: float
    t_best: float
    t_high: float
    light_mol: float  # daily light of full growth
    kc_ini: float
    kc_mid: float
    cut_share: float  # what a picking takes


@dataclass(frozen=True)
class Feed:
    """A feed: protein share and, per element, content (g/kg) with the shares to fish and to water."""

    protein: float
    content: dict[str, float]
    to_fish: dict[str, float]
    dissolved: dict[str, float]

    @cached_property
    def brings(self) -> tuple[slice, NDArray[np.float64]]:
        """Rows of the state from the first mineral it brings to the last; content, shares to fish and to water."""
        at = sorted(MINERALS[e] for e in self.dissolved)
        rows = slice(at[0], at[-1] + 1) if at else slice(0, 0)
        names = [e for e, row in MINERALS.items() if rows.start <= row < rows.stop]
        table = [(self.content.get(e, 0.0), self.to_fish.get(e, 0.0), self.dissolved.get(e, 0.0)) for e in names]
        return rows, np.array(table).reshape(-1, 3).T[..., None]


@dataclass(frozen=True)
class Loop:
    """One loop, or one per member: then numbers are (members,). Monthly tuples run from January."""

    volume_m3: Number
    fish_m3: Number  # water of the fish tanks alone
    surface_m2: Number  # open water of the tanks
    bed_area_m2: Number
    media: bool  # solids stay in the beds
    nitrify_area_m2: Number
    mature: Number  # 0 at a start-up, 1 once ripe
    source: Water
    feed: Feed
    meals: tuple[int, ...]  # hours of the day
    pressure_atm: Number
    temp_c: tuple[Number, ...]  # of the water without a heater
    heater_c: Number | None
    cools_h: Number  # time in which the water loses 63 % of what a heater gave it
    air_c: tuple[Number, ...]
    light_mol: tuple[Number, ...]
    et_mm: tuple[Number, ...]  # of a covering crop
    open_mm: tuple[Number, ...]  # of open water
    bare_kc: Number  # loss of a bed without plants over et_mm
    catch_m2: Number = 0.0  # what rain falls into
    rain_mm: tuple[Number, ...] = (0.0,) * 12


@dataclass(frozen=True)
class Event:
    """One state jump at the start of day `day`.

    kind: dose (values in g into the loop by state name: tan organic no3 k ... and alk in eq), drain (share of the
    water), topup (m3; rain 1 for water without salts), temp (degC), feed (g, with the feed), feed_kind (from now on
    this feed), fish_in (count, weight_g, species), fish_out (count; left 1 where dead fish stayed), weigh (weight_g),
    plant (count, crop), pick (share, or count of plants), cut, clean (kept and solids: shares kept of capacity and of
    solids), kla (factor), heater (on 0 or 1), set_up (loop and params from now on), and air_off, flow_off, heat_off
    (hours from_h to to_h).
    """

    day: int
    kind: str
    values: dict[str, float] = field(default_factory=dict)
    name: str = ""  # species or crop
    label: str = ""  # which group or planting; empty: any
    feed: Feed | None = None
    loop: Loop | None = None
    params: Mapping[str, NDArray[np.float64]] | None = None
