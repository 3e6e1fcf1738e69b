"""How much of an ammonia source lifts a loop by so much nitrogen, and what else it does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine.pack import dose_grams
from rillbed.facts.supplies import AmmoniaSource as Row
from rillbed.garden.payloads import Dosed
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Dose
from rillbed.plan.arithmetic import (
    EQ_PER_MOL_ORGANIC,
    EQ_PER_MOL_SALT,
    N_MOLAR_G,
    alkalinity_used_meq_l,
    nitrogen_for_rise_g,
    solution_ml,
)

ELEMENTS = ("p", "k", "ca", "mg", "s", "na", "cl", "fe")


@dataclass(frozen=True)
class Composition:
    """What one gram of a source is made of: shares of its mass, and how its nitrogen behaves."""

    n_share: float
    brings: Mapping[str, float]
    eq_per_mol: float
    at_once: float
    organic: bool
    release_per_day: float


def known(source: str) -> Row:
    """Row of the table of ammonia sources.

    Raises
    ------
    ValueError
        If there is no such source.
    """
    table = facts.ammonia_sources()
    if source not in table:
        raise ValueError(f"source = {source!r}: must be one of {', '.join(sorted(table))}")
    return table[source]


def composition(source: str, strength_pct: float | None = None) -> Composition:
    """Make-up of one gram of a source, as the model itself books it.

    Raises
    ------
    ValueError
        For an unknown source or a solution without its strength.
    """
    row = known(source)
    if is_solution(row) and strength_pct is None:
        raise ValueError(f"strength_pct: {source} needs its ammonia content by mass, from the label (1 to 35)")
    brought = dose_grams(
        Dosed.make({"substance": source, "amount": {"value": 1.0, "unit": "g"}, "strength_pct": strength_pct})
    )
    at_once, slow = brought.get("tan", 0.0), brought.get("organic", 0.0)
    nitrogen = at_once + slow
    if nitrogen <= 0.0:
        raise ValueError(f"source = {source!r}: brings no nitrogen; it cannot feed the bacteria")
    # Two equivalents go per mole nitrified; organic nitrogen gives one back when it turns into ammonium, and what the
    # source brings itself comes off.
    eq = (EQ_PER_MOL_SALT * at_once + EQ_PER_MOL_ORGANIC * slow - brought.get("alk", 0.0) * N_MOLAR_G) / nitrogen
    others = {name: part for name, part in brought.items() if name in ELEMENTS and part > 0.0}
    # The slow end of the release, so that the ledger errs towards waiting.
    release = row.release_low_per_day or row.release_per_day or 0.0
    return Composition(nitrogen, others, eq, at_once / nitrogen, slow > 0.0, release)


def is_solution(row: Row) -> bool:
    """Whether the source is measured out by volume and labelled by strength."""
    return row.form == "solution"


def density(row: Row, strength_pct: float | None, given: float | None) -> float:
    """Density of a solution, g/mL: the label's, else that of ammonia water of this strength at 20 degC."""
    if given is not None:
        return given
    if strength_pct is None or not row.strengths_pct:
        return row.density_g_ml or 1.0
    return float(np.interp(strength_pct, row.strengths_pct, row.densities_g_ml))


def dose(
    system: System,
    source: str | None,
    target_mg_l: float,
    *,
    volume_l: float | None = None,
    strength_pct: float | None = None,
    density_g_ml: float | None = None,
) -> Dose:
    """Amount of one source for one rise of nitrogen.

    Parameters
    ----------
    source : str or None
        Row of the table of ammonia sources; ``None`` takes the system's own with its strength and density.
    target_mg_l : float
        Rise wanted once all nitrogen is released, mg N/L; 0 or more.
    volume_l : float or None
        Water to lift, L; ``None``: tanks, sump and the water in the beds.
    strength_pct, density_g_ml : float or None
        For a solution: ammonia by mass, from the label, and its density; a known strength has a tabled density.

    Raises
    ------
    ValueError
        For an unknown source, a negative rise, a volume of zero, or a solution without its strength.
    """
    own = system.ammonia_source
    if source is None:
        if own is None:
            raise ValueError("source: the system names no ammonia source; give one")
        source = own.source
    if own is not None and own.source == source:
        strength_pct = own.strength_pct if strength_pct is None else strength_pct
        density_g_ml = own.density_g_ml if density_g_ml is None else density_g_ml
    if strength_pct is None:
        strength_pct = feed_strength(system, source)
    litres = water_l(system) if volume_l is None else volume_l
    nitrogen = nitrogen_for_rise_g(target_mg_l, litres)
    made_of = composition(source, strength_pct)
    row = known(source)
    if is_solution(row):
        amount, unit = solution_ml(nitrogen, made_of.n_share, density(row, strength_pct, density_g_ml)), "mL"
    else:
        amount, unit = nitrogen / made_of.n_share, "g"
    return Dose(
        source=source,
        amount=amount,
        unit=unit,
        target_mg_l=target_mg_l,
        volume_l=litres,
        nitrogen_g=nitrogen,
        at_once_mg_l=target_mg_l * made_of.at_once,
        alkalinity_used_meq_l=alkalinity_used_meq_l(target_mg_l, made_of.eq_per_mol),
        brings_mg_l={name: target_mg_l * part / made_of.n_share for name, part in made_of.brings.items()},
        organic=made_of.organic,
        cautions=row.cautions,
        grade=row.grade,
        source_ref=" ".join(row.source),
    )


def nitrogen_in(item: Dosed) -> float:
    """Nitrogen of a logged dose of an ammonia source, g N; 0 for any other substance."""
    if item.substance not in facts.ammonia_sources():
        return 0.0
    row = known(item.substance)
    share = composition(item.substance, item.strength_pct).n_share
    if item.grams is not None:
        return item.grams * share
    assert item.ml is not None
    return item.ml * density(row, item.strength_pct, item.density_g_ml) * share


def feed_strength(system: System, source: str) -> float | None:
    """Protein of the system's own feed where feed itself is the source; ``None`` elsewhere."""
    if known(source).strength_of != "protein" or system.feed is None:
        return None
    return facts.feeds()[system.feed].protein_pct


def water_l(system: System) -> float:
    """Water of tanks, sump and beds as the model counts it, L."""
    return 1000.0 * system.total_volume_m3


def dose_reasons(given: Dose) -> tuple[Reason, ...]:
    """Argument of a dose, in reading order."""
    out = [Reason("cycle.target", {"volume_l": given.volume_l, "target_mg_l": given.target_mg_l})]
    if given.at_once_mg_l < given.target_mg_l:
        out.append(Reason("cycle.at_once", {"at_once_mg_l": given.at_once_mg_l}))
    out.append(Reason("cycle.alkalinity_used", {"meq_l": given.alkalinity_used_meq_l}))
    return (*out, *also_brings(given.brings_mg_l))


def also_brings(mg_l: Mapping[str, float]) -> tuple[Reason, ...]:
    """List what else a dose brings, mg/L by element, the most first; nothing where it brings nothing."""
    if not mg_l:
        return ()
    order = sorted(mg_l, key=lambda name: -mg_l[name])
    return (Reason("dose.brings", {"elements": tuple(order), "mg_l": tuple(mg_l[name] for name in order)}),)
