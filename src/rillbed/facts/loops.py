"""What a loop is built, tested and judged by: growing media, test kits, feed per area, and the model's parameters."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from rillbed.facts.load import Row, read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Medium(Row):
    """What fills a media bed.

    Attributes
    ----------
    surface_m2_m3 : float
        Nitrifying surface per volume of bed, bare; half of it counts once solids have filled the pores.
    pore_fraction : float
        Share of the volume that is water when the bed is flooded.
    bulk_kg_m3 : float or None
        Weight of the dry medium.
    limestone : bool
        Whether it dissolves and raises pH, calcium and alkalinity.
    """

    name: str
    surface_m2_m3: float
    surface_low_m2_m3: float | None = None
    surface_high_m2_m3: float | None = None
    pore_fraction: float
    bulk_kg_m3: float | None = None
    limestone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class KitKind(Row):
    """A neutral test, to be changed into the user's own: steps in `unit`, None = ask.

    `basis`: whether the card counts the element (n) or the whole ion, None = unknown. `low_open`, `high_open`: the end
    step also stands for all beyond. `noise_ln_sd` is the reading error on the log scale, `noise_abs` in units;
    `blunder_share` is how often a reading has nothing to do with the water.
    """

    name: str
    quantity: str
    kind: Literal["drops", "strip", "meter"]
    unit: str
    basis: Literal["n", "ion"] | None = None
    steps: tuple[float, ...] = ()
    low_open: bool = True
    high_open: bool = True
    wait_minutes: float | None = None
    noise_ln_sd: float | None = None
    noise_abs: float | None = None
    blunder_share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRateBand(Row):
    """Feed fed per area of bed, g/m2/day, fully planted, on the long-run mean; with its conditions."""

    name: str
    low_g_m2_day: float
    high_g_m2_day: float
    crops: Literal["leafy", "fruiting", "any"]
    bed: Literal["media", "raft", "nft", "any"]
    protein_pct: float | None = None
    solids: Literal["kept", "removed", "mineralised", "any"] = "any"
    plants_low_m2: float | None = None
    plants_high_m2: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterLimit(Row):
    """What water may hold; None where the range is open.

    Attributes
    ----------
    quantity : str
        tan, nh3 (un-ionised ammonia), no2, no3, ph, oxygen, k ...; nitrogen as N, phosphorus as P, sulfate as S.
    applies_to : str
        fish (any), warm_fish, cold_fish, plants, nitrifiers or loop.
    level : str
        range (to be inside), target, short (too little for plants), ceiling, or a band: good, watch, act, emergency.
    """

    quantity: str
    applies_to: Literal["fish", "warm_fish", "cold_fish", "plants", "nitrifiers", "loop"]
    level: Literal["range", "target", "short", "ceiling", "good", "watch", "act", "emergency"]
    unit: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior(Row):
    """A parameter of the model: log-normal with `median` and `ln_sd`.

    `role`: fit (moved by the log), nuisance (sampled, not reported) or fixed. Parameters named ..._factor and dm_gain,
    cap_max multiply a table's value and have the median 1.
    """

    median: float
    ln_sd: float
    unit: str
    role: Literal["fit", "nuisance", "fixed", "derived"]
    why: str

    @property
    def key(self) -> str:
        """The name of the parameter."""
        return self.id


@cache
def media() -> dict[str, Medium]:
    """Return every growing medium by id."""
    return read_rows("media.toml", Medium)


@cache
def kits() -> dict[str, KitKind]:
    """Return the neutral tests by id."""
    return read_rows("kits.toml", KitKind)


@cache
def feed_rate_bands() -> dict[str, FeedRateBand]:
    """Return the published rules of feed per area by id; `leafy` and `fruiting` are the plain ones."""
    return read_rows("feed_rate_bands.toml", FeedRateBand)


@cache
def priors() -> dict[str, Prior]:
    """Return every parameter of the model by name."""
    return read_rows("priors.toml", Prior)


@cache
def water_limits() -> dict[str, WaterLimit]:
    """Return every limit, target and band of water by id, `quantity_whom` or `quantity_level`."""
    return read_rows("water_limits.toml", WaterLimit)
