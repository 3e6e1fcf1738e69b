"""Bands of nitrogen: un-ionised ammonia, total ammonia, nitrite beside chloride, nitrate."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from rillbed import facts, units
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import lines
from rillbed.plan.verdict.bands import LEVELS, Band
from rillbed.plan.verdict.build import band
from rillbed.plan.verdict.ladder import Floats, Ladder, Ranks
from rillbed.plan.verdict.sampling import COUNT
from rillbed.plan.verdict.waters import Waters
from rillbed.plan.verdict.who import Who
from rillbed.science import ammonia

PER_NITRITE = facts.value("dosing.chloride_per_nitrite")
NO2_PER_N = units.convert_basis(1.0, "N", "NO2")
NH3_PARTS = ("tan", "ph", "temperature")


def unionized(found: Waters) -> Band | None:
    """Un-ionised ammonia-N from total ammonia, pH and temperature, with the criteria of 2013 beside it."""
    if "tan" not in found.ends:
        return None
    tan, ph, temp = (found.ends[name] for name in NH3_PARTS)
    draws = found.column("tan") * _fraction(found.column("ph"), found.column("temperature"))
    ends = (tan.low * float(_fraction(ph.low, temp.low)), tan.high * float(_fraction(ph.high, temp.high)))
    reasons = [
        Reason("nh3.parts", {"tan": tan.high, "ph": ph.high, "temp_c": temp.high, "nh3": ends[1]}),
        _criteria(found),
    ]
    if ph.basis == "assumed":
        reasons.append(Reason("nh3.ph_unread", {"low": ph.low, "high": ph.high}))
    keys = ("ammonia.pka_slope", "ammonia.pka_offset")
    return band(
        found, "nh3_n", "tan", lines.nh3(found.who), draws, ends, "mg/L",
        stands_on=NH3_PARTS, reasons=tuple(reasons), more_facts=keys,
    )  # fmt: skip


def _fraction(ph: ArrayLike, temp_c: ArrayLike) -> Floats:
    """Share of un-ionised ammonia; ice water and scalding water are held to the ends of the equation."""
    held = np.clip(np.asarray(temp_c, dtype=float), 0.0, 50.0)
    return np.asarray(ammonia.unionized_fraction(np.clip(np.asarray(ph, dtype=float), 0.0, 14.0), held), dtype=float)


def _criteria(found: Waters) -> Reason:
    """Cross-check with the criteria of 2013 at the worst pH and temperature: an outer bound, drawn by mussels."""
    tan, ph, temp = (found.ends[name] for name in NH3_PARTS)
    warm = min(max(temp.high, 0.0), 30.0)
    salmonids = any(facts.species()[name].scientific_name.startswith("Oncorhynchus") for name in found.who.species)
    acute = float(ammonia.epa2013_acute_mg_l(ph.high, warm, salmonids=salmonids or not found.who.species))
    chronic = float(ammonia.epa2013_chronic_mg_l(ph.high, warm))
    code = "nh3.epa_over" if tan.high > acute else "nh3.epa_chronic" if tan.high > chronic else "nh3.epa_under"
    return Reason(code, {"tan": tan.high, "acute": acute, "chronic": chronic})


def total(found: Waters) -> Band | None:
    """Total ammonia-N against what growers hold it under."""
    if "tan" not in found.ends:
        return None
    ends = found.ends["tan"]
    return band(found, "tan", "tan", lines.tan(found.who), found.column("tan"), (ends.low, ends.high), "mg/L")


def nitrite(found: Waters) -> Band | None:
    """Nitrite-N, each kind of fish protected by chloride as far as its kind is."""
    if "no2" not in found.ends:
        return None
    ends = found.ends["no2"]
    chloride = found.ends.get("cl")
    salt = found.column("cl") if "cl" in found.samples else np.zeros(COUNT)
    # What nobody read or reckoned protects nobody.
    least = 0.0 if chloride is None else max(chloride.low, 0.0)
    ladder = lines.no2(found.who)
    shares = _shares(found.who)
    ranks = rank(ladder, found.column("no2"), salt, shares)
    levels = tuple(LEVELS[int(rank(ladder, np.array([end]), np.array([least]), shares)[0])] for end in
                   (ends.low, ends.high))  # fmt: skip
    wanted = PER_NITRITE * NO2_PER_N * ends.high
    reasons = [Reason("no2.chloride", {"chloride": least, "wanted": wanted, "ratio": PER_NITRITE})]
    if chloride is None:
        reasons = [Reason("no2.chloride_unread", {"wanted": wanted, "ratio": PER_NITRITE})]
    reasons += [Reason("no2.not_helped", {"species": name}) for name, share in shares.items() if share <= 0.0]
    return band(
        found, "no2_n", "no2", ladder, found.column("no2"), (ends.low, ends.high), "mg/L",
        ranks=ranks, end_levels=(levels[0], levels[1]), reasons=tuple(reasons),
        more_facts=("dosing.chloride_per_nitrite",),
    )  # fmt: skip


def rank(ladder: Ladder, no2_mg_l: Floats, cl_mg_l: Floats, shares: Mapping[str, float]) -> Ranks:
    """Level of nitrite for the kind of fish that is worst off, as places in `LEVELS`.

    Notes
    -----
    Full protection at ten times the ion by weight (SRAC 462, read as the ion, the stricter reading) counts in
    proportion below that, which is less than competition at the gill would give. However much salt there is, nitrite
    over a line stays worth watching: sick fish need more.
    """
    raw = ladder.rank(no2_mg_l)
    needed = PER_NITRITE * NO2_PER_N * np.maximum(no2_mg_l, 1e-12)
    protection = np.where(np.isfinite(needed), np.clip(cl_mg_l / needed, 0.0, 1.0), 0.0)
    worst: Ranks = np.zeros(raw.shape, dtype=np.int64)
    for share in shares.values() or (1.0,):
        left = np.where(protection * share > 0.0, no2_mg_l * (1.0 - share * protection), no2_mg_l)
        worst = np.maximum(worst, np.maximum(ladder.rank(left), np.minimum(raw, 1)))
    return worst


def _shares(who: Who) -> dict[str, float]:
    """Share of the usual protection by chloride that each kind has; a figure from memory counts as none."""
    table = facts.species()
    return {
        name: 0.0 if table[name].chloride_origin.grade == "memory" else table[name].chloride_share
        for name in who.species
    }


def nitrate(found: Waters) -> Band | None:
    """Nitrate-N: too much for fish, too little for plants."""
    if "no3" not in found.ends:
        return None
    ends = found.ends["no3"]
    ladder = lines.no3(found.who)
    return band(
        found, "no3_n", "no3", ladder, found.column("no3"), (ends.low, ends.high), "mg/L",
        applies=found.who.fish or found.who.plants,
    )  # fmt: skip
