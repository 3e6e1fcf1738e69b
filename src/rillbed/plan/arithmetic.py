"""Sums behind the advice that need no forecast: mass of a source, litres of a solution."""

from __future__ import annotations

import math

from rillbed import facts

# Equivalents of alkalinity used per mole of N: an ammonium salt gives two protons when nitrified; ammonia and
# organic nitrogen take one up first (stoichiometry; published rate 7.14 g CaCO3 per g N for the salt).
N_MOLAR_G = facts.value("atoms.n")
EQ_PER_MOL_SALT = 2.0
EQ_PER_MOL_ORGANIC = 1.0


def nitrogen_for_rise_g(rise_mg_l: float, volume_l: float) -> float:
    """Nitrogen that lifts ``volume_l`` by ``rise_mg_l``, g N.

    Examples
    --------
    >>> nitrogen_for_rise_g(2.0, 800.0)
    1.6
    """
    if not 0 <= rise_mg_l < math.inf:
        raise ValueError(f"target_mg_l = {rise_mg_l}: must be 0 or more")
    if not 0 < volume_l < math.inf:
        raise ValueError(f"volume_l = {volume_l}: must be above 0")
    return rise_mg_l * volume_l / 1000.0


def alkalinity_used_meq_l(rise_mg_l: float, eq_per_mol: float) -> float:
    """Alkalinity used once a rise of nitrogen (mg N/L) has become nitrate, meq/L."""
    return eq_per_mol * rise_mg_l / N_MOLAR_G


def solution_ml(nitrogen_g: float, nitrogen_share: float, density_g_ml: float) -> float:
    """Volume of a solution that holds ``nitrogen_g``: mass share of N and density in g/mL."""
    if not 0.0 < nitrogen_share <= 1.0:
        raise ValueError(f"nitrogen_share = {nitrogen_share}: must lie between 0 and 1")
    if density_g_ml <= 0:
        raise ValueError(f"density_g_ml = {density_g_ml}: must be above 0")
    return nitrogen_g / nitrogen_share / density_g_ml
