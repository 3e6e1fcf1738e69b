"""What is put into the water by hand: ammonia for the start, feed, and what feed does not bring."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from rillbed.facts.load import Row, read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Brings(Row):
    """Shares of its mass, %, that one gram of a supply brings, as elements.

    `alkalinity_eq_per_g` is what it adds at once (NH4+, H2PO4- and SO4-- at zero); nitrogen still to be released
    adds its own when it appears as ammonium.
    """

    name: str
    alkalinity_eq_per_g: float = 0.0
    p_pct: float = 0.0
    k_pct: float = 0.0
    ca_pct: float = 0.0
    mg_pct: float = 0.0
    s_pct: float = 0.0
    na_pct: float = 0.0
    cl_pct: float = 0.0
    fe_pct: float = 0.0
    mn_pct: float = 0.0
    b_pct: float = 0.0
    mo_pct: float = 0.0
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AmmoniaSource(Brings):
    """A source of ammonia.

    Attributes
    ----------
    form : str
        solution (ammonia water), salt, urea (to be split by bacteria first) or organic (to be broken down first).
    n_pct : float
        Nitrogen at the reference strength; the other shares hold there too.
    strength_of : str
        What a label's strength counts: ammonia (NH3 by mass), purity, nitrogen or protein.
    reference_strength_pct : float
        Strength the shares stand for; at another strength they scale with it.
    at_once_share : float
        Part of the nitrogen an ammonia kit sees at once.
    release_per_day, release_low_per_day, release_high_per_day : float or None
        First-order release of the rest at 25 degC; None where there is no rest.
    density_g_ml : float or None
        Of a liquid at the reference strength and 20 degC.
    strengths_pct, densities_g_ml : tuple of float
        Density by strength at 20 degC, to be read between the points.
    carbon_pct : float
        Organic carbon, which uses oxygen.
    """

    form: Literal["solution", "salt", "urea", "organic"]
    n_pct: float
    strength_of: Literal["ammonia", "purity", "nitrogen", "protein"]
    reference_strength_pct: float
    at_once_share: float
    release_per_day: float | None = None
    release_low_per_day: float | None = None
    release_high_per_day: float | None = None
    density_g_ml: float | None = None
    strengths_pct: tuple[float, ...] = ()
    densities_g_ml: tuple[float, ...] = ()
    carbon_pct: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplement(Brings):
    """Something that brings what feed does not: potassium, calcium, iron, buffer; or takes chlorine away.

    Attributes
    ----------
    kind : str
        base, acid, salt, chelate, trace, seaweed or dechlorinator.
    n_pct : float
        Organic nitrogen, which becomes ammonia.
    no3_n_pct : float
        Nitrogen it brings as nitrate.
    ph_effect : str
        up, strong_up, slow_up, down or none.
    solubility_g_l : float or None
        In water at about 20 degC; None where it is not known or has no meaning.
    stable_to_ph : float or None
        Highest pH at which a chelate keeps its iron.
    per_g_chlorine : float or None
        Grams that take away one gram of chlorine (as Cl2).
    """

    kind: Literal["base", "acid", "salt", "chelate", "trace", "seaweed", "dechlorinator"]
    n_pct: float = 0.0
    no3_n_pct: float = 0.0
    organic: bool = False
    ph_effect: Literal["up", "strong_up", "slow_up", "down", "none"] = "none"
    solubility_g_l: float | None = None
    density_g_ml: float | None = None
    stable_to_ph: float | None = None
    per_g_chlorine: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed(Row):
    """A dry fish feed by its protein, % as fed; minerals are those of `element_fractions()`."""

    name: str
    protein_pct: float
    for_fish: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementFraction(Row):
    """An element in feed as fed, g/kg, and where it goes: shares to fish, to solids and into the water sum to 1."""

    name: str
    content_g_kg: float
    content_low_g_kg: float | None = None
    content_high_g_kg: float | None = None
    to_fish: float
    to_solids: float
    dissolved: float
    dissolved_low: float | None = None
    dissolved_high: float | None = None


@cache
def ammonia_sources() -> dict[str, AmmoniaSource]:
    """Return every source of ammonia by id."""
    return read_rows("ammonia_sources.toml", AmmoniaSource)


@cache
def supplements() -> dict[str, Supplement]:
    """Return every supplement by id."""
    return read_rows("supplements.toml", Supplement)


@cache
def feeds() -> dict[str, Feed]:
    """Return every feed by id."""
    return read_rows("feeds.toml", Feed)


@cache
def element_fractions() -> dict[str, ElementFraction]:
    """Return what feed holds of every element but nitrogen, by lower-case symbol."""
    return read_rows("element_fractions.toml", ElementFraction)
