"""Bands of carbon: pH, how fast it moves, alkalinity, and carbon dioxide from both."""

from __future__ import annotations

from itertools import product

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import lines
from rillbed.plan.verdict.bands import Band
from rillbed.plan.verdict.build import band
from rillbed.plan.verdict.evidence import Evidence
from rillbed.plan.verdict.sampling import COUNT, Floats, lattice
from rillbed.plan.verdict.waters import Waters
from rillbed.science import carbonate
from rillbed.science.titration import Water, other_alkalinity

IONIC_STRENGTH = facts.value("verdict.ionic_strength")
STRENGTH_PER_EC = facts.value("dosing.strength_per_ec")
CO2_MOST = facts.value("verdict.co2_most")
PARTS = ("alkalinity", "ph", "temperature")


def ph(found: Waters) -> Band | None:
    """PH against what fish, bacteria and plants bear."""
    ends = found.ends["ph"]
    if ends.basis == "assumed":
        return None
    reasons: list[Reason] = []
    seen = found.seen("ph")
    if seen is not None and (seen.low is None or seen.high is None) and ends.basis == "reading":
        code, step = ("ph.below_kit", seen.high) if seen.low is None else ("ph.above_kit", seen.low)
        reasons.append(Reason(code, {"step": step}))
    return band(
        found, "ph", "ph", lines.ph(found.who), found.column("ph"), (ends.low, ends.high), "",
        applies=True, reasons=tuple(reasons),
    )  # fmt: skip


def ph_rate(found: Waters) -> Band | None:
    """Change of pH in a day between the last two readings; a whole change made within one day counts as it is.

    Two readings of the same step show no change: what is finer than the kit nobody can see, and the same eyes and
    the same bottle err the same way twice.
    """
    items = found.history.get("ph", ())
    if len(items) < 2 or not items[-1].fresh:
        return None
    before, after = items[-2:]
    days = (after.at - before.at).total_seconds() / 86400.0
    if days <= 0.0 or days > facts.value("verdict.ph_rate_days"):
        return None
    span = max(days, 1.0)
    if (before.low, before.high) == (after.low, after.high):
        draws, ends = np.zeros(COUNT), (0.0, 0.0)
    else:
        moved = _inside(after, lattice("ph")) - _inside(before, lattice("basis"))
        draws = np.abs(moved) / span
        least = max(after.least - before.most, before.least - after.most, 0.0)
        most = max(after.most - before.least, before.most - after.least)
        ends = (least / span, most / span)
    falling = after.least + after.most < before.least + before.most
    reason = Reason(
        "ph_rate.two", {"from": _middle(before), "to": _middle(after), "days": round(days, 2), "falling": falling}
    )
    return band(found, "ph_rate", "ph", lines.ph_rate(), draws, ends, "1/day", reasons=(reason,))


def _inside(item: Evidence, place: Floats) -> Floats:
    return item.least + (item.most - item.least) * place


def _middle(item: Evidence) -> float:
    return 0.5 * (item.least + item.most)


def alkalinity(found: Waters) -> Band | None:
    """Alkalinity left to hold pH."""
    if "alkalinity" not in found.ends:
        return None
    ends = found.ends["alkalinity"]
    return band(
        found, "alkalinity", "alkalinity", lines.alkalinity(), found.column("alkalinity"), (ends.low, ends.high),
        "meq/L", applies=True,
    )  # fmt: skip


def co2_mg_l(
    ph_: object,
    alkalinity_meq_l: object,
    temp_c: object,
    tan_mg_l: object = 0.0,
    p_mg_l: object = 0.0,
    strength_mol_l: float = IONIC_STRENGTH,
) -> Floats:
    """Carbon dioxide from pH and alkalinity, less what ammonia and phosphate hold of it, mg/L.

    Where they hold all of the alkalinity nothing is left for carbon: 0.

    Examples
    --------
    >>> round(float(co2_mg_l(7.0, 2.0, 25.0)), 1)
    18.4
    """
    x, alk = np.asarray(ph_, dtype=float), np.asarray(alkalinity_meq_l, dtype=float)
    water = Water.at(np.asarray(temp_c, dtype=float), strength_mol_l)
    other = other_alkalinity(water, x, np.asarray(tan_mg_l, dtype=float), np.asarray(p_mg_l, dtype=float))
    co2, co3 = water.carbonate_share(10.0**-x)
    hco3 = np.maximum(alk - other.total_meq_l, 0.0) / (1.0 + 2.0 * co3)
    return np.asarray(hco3 * co2 * carbonate.CO2_G_MOL, dtype=float)


def carbon_dioxide(found: Waters) -> Band | None:
    """Carbon dioxide from pH and alkalinity; phosphate nobody read counts as none, which finds more of it."""
    seen = found.seen("co2")
    if seen is not None and seen.fresh:
        ends = found.ends["co2"]
        return band(found, "co2", "co2", lines.co2(), found.column("co2"), (ends.low, ends.high), "mg/L")
    if "alkalinity" not in found.ends or found.ends["ph"].basis == "assumed":
        return None
    if "co2" in found.ends and found.ends["ph"].basis == found.ends["alkalinity"].basis == "model":
        ends = found.ends["co2"]
        return band(found, "co2", "co2", lines.co2(), found.column("co2"), (ends.low, ends.high), "mg/L")
    none = np.zeros(COUNT)
    p = found.column("p") if "p" in found.samples else none
    tan = found.column("tan") if "tan" in found.samples else none
    temp = np.clip(found.column("temperature"), 0.0, 50.0)
    ec = found.seen("ec")
    # More salts hold carbon dioxide lower: the least conductivity read is the cautious one.
    strength = IONIC_STRENGTH if ec is None else min(ec.least * STRENGTH_PER_EC, 0.1)
    # Below the last step of a kit pH tells nothing of carbon dioxide: the step itself is reckoned with, and said so.
    read = found.seen("ph")
    hidden = read is not None and read.fresh and read.low is None
    least_ph = read.high if hidden and read is not None and read.high is not None else 0.0
    draws = np.minimum(
        co2_mg_l(np.maximum(found.column("ph"), least_ph), found.column("alkalinity"), temp, tan, p, strength), CO2_MOST
    )
    at = [_ends(found, name) for name in (*PARTS, "tan", "p")]
    at[1] = (max(at[1][0], least_ph), max(at[1][1], least_ph))
    corners = [
        float(co2_mg_l(ph_, alk, min(max(t, 0.0), 50.0), ammonia, phosphate, strength))
        for alk, ph_, t, ammonia, phosphate in product(*at)
    ]
    ends_co2 = (min(min(corners), CO2_MOST), min(max(corners), CO2_MOST))
    reasons = [Reason("co2.parts", {"ph": at[1][0], "alkalinity": at[0][1], "co2": ends_co2[1]})]
    if "p" not in found.samples:
        reasons.append(Reason("co2.phosphate_unread"))
    if hidden:
        reasons.append(Reason("co2.ph_hidden", {"step": least_ph}))
    if max(corners) >= CO2_MOST:
        reasons.append(Reason("co2.capped", {"most": CO2_MOST}))
    return band(
        found, "co2", "alkalinity", lines.co2(), draws, ends_co2, "mg/L",
        stands_on=PARTS, reasons=tuple(reasons), more_facts=("carbonate.k1", "verdict.co2_most"),
    )  # fmt: skip


def _ends(found: Waters, quantity: str) -> tuple[float, float]:
    """Return the ends of one part, an infinite one held to what such a water can be."""
    if quantity not in found.ends:
        return (0.0, 0.0)
    ends = found.ends[quantity]
    if np.isfinite(ends.high):
        return (ends.low, ends.high)
    return (ends.low, float(found.column(quantity).max()))
