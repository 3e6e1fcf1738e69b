"""What the steps need to know of one loop: plain numbers, already in canonical units."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rillbed.science.feed import FISH_N

IONS0 = {"k": 2.0, "ca": 40.0, "mg": 8.0, "fe": 0.02, "p": 0.05, "s": 8.0, "na": 15.0, "cl": 20.0}
"""Source water where nothing is known (middling tap water, g/m3; practice)."""


@dataclass(frozen=True)
class Water:
    """A water: alkalinity in eq/m3, nitrate-N and minerals in g/m3."""

    alk: float = 2.4
    no3: float = 1.0
    tan: float = 0.0
    ions: dict[str, float] = field(default_factory=lambda: dict(IONS0))


@dataclass(frozen=True)
class Fish:
    """Growth of one species: thermal growth coefficient per 1000, feed conversion, limits (g/m3), temperatures."""

    tgc: float = 0.8
    tgc_at_c: float = 28.0  # where the coefficient was measured
    fcr: float = 1.5
    tan_limit: float = 2.0
    no2_limit: float = 0.3  # as N
    o2_want: float = 5.0
    o2_crit: float = 2.0
    t_stop: float = 17.0  # no feed below
    t_low: float = 17.0
    t_best: float = 30.0
    t_high: float = 38.0
    n_body: float = FISH_N
    table: tuple[tuple[float, float], ...] = ()  # feed table: weight in g, most feed per g of fish and day
    harvest_g: float = 600.0


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

    protein: float = 0.32
    content: dict[str, float] = field(default_factory=dict)
    to_fish: dict[str, float] = field(default_factory=dict)
    dissolved: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Loop:
    """One loop. Monthly tuples run from January."""

    volume_m3: float
    bed_area_m2: float = 0.0
    surface_m2: float = 1.0  # open water of the tanks
    source: Water = field(default_factory=Water)
    temp_c: tuple[float, ...] = (24.0,) * 12
    air_c: tuple[float, ...] = (22.0,) * 12
    et_mm: tuple[float, ...] = (2.0,) * 12  # of a covering crop
    open_mm: tuple[float, ...] = (1.5,) * 12  # of open water
    bare_kc: float = 0.3  # loss of a bed without plants over et_mm
    light_mol: tuple[float, ...] = (17.0,) * 12
    pressure_atm: float = 1.0
    media: bool = True
    nitrify_area_m2: float = 100.0
    mature: float = 0.0
    meals: tuple[int, ...] = (8, 17)
    feed: Feed = field(default_factory=Feed)
    fish_m3: float | None = None  # water of the fish tanks alone; None: all of it
    heater_c: float | None = None
    cools_h: float = 48.0  # time in which the water loses 63 % of what a heater gave it


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
