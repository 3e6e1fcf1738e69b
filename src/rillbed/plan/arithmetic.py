"""Sums behind the advice that need no forecast: feed per meal, mass of a source, litres of a solution."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts

# Equivalents of alkalinity used per mole of N: an ammonium salt gives two protons when nitrified; ammonia and
# organic nitrogen take one up first (stoichiometry; published rate 7.14 g CaCO3 per g N for the salt).
N_MOLAR_G = facts.value("atoms.n")
EQ_PER_MOL_SALT = 2.0
EQ_PER_MOL_ORGANIC = 1.0


@dataclass(frozen=True)
class Meals:
    """Feed by a share of biomass: g of fish, g per meal, g per day."""

    biomass_g: float
    per_meal_g: float
    per_day_g: float


def meals_by_share(count: int, weight_g: float, share_per_meal: float, meals: int) -> Meals:
    """Feed when every meal is a share of the fish's mass.

    Parameters
    ----------
    count, weight_g
        Number of fish and mean mass, g.
    share_per_meal : float
        Share of biomass given at each meal (0 to 0.2).
    meals : int
        Meals a day, at least 1.

    Raises
    ------
    ValueError
        If a value is out of range.

    Examples
    --------
    >>> meals_by_share(40, 10.0, 0.01, 3)
    Meals(biomass_g=400.0, per_meal_g=4.0, per_day_g=12.0)
    """
    if count < 0 or weight_g < 0:
        raise ValueError(f"count = {count}, weight_g = {weight_g}: neither may be negative")
    if not 0.0 <= share_per_meal <= 0.2:
        raise ValueError(f"share_per_meal = {share_per_meal}: must lie between 0 and 0.2")
    if meals < 1:
        raise ValueError(f"meals = {meals}: at least 1")
    biomass = count * weight_g
    return Meals(biomass, biomass * share_per_meal, biomass * share_per_meal * meals)


def nitrogen_for_rise_g(rise_mg_l: float, volume_l: float) -> float:
    """Nitrogen that lifts ``volume_l`` by ``rise_mg_l``, g N.

    Examples
    --------
    >>> nitrogen_for_rise_g(2.0, 800.0)
    1.6
    """
    if rise_mg_l < 0:
        raise ValueError(f"target_mg_l = {rise_mg_l}: must not be negative")
    if volume_l <= 0:
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
