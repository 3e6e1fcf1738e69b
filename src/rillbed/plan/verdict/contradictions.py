"""Facts that cannot be true together: shown as such, never averaged away."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, product

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason, Value
from rillbed.plan.verdict.basics import saturation_mg_l
from rillbed.plan.verdict.carbon import CO2_MOST, co2_mg_l
from rillbed.plan.verdict.waters import Waters
from rillbed.science import carbonate, equilibria

# What changes slowly enough that two tests within half a day must agree; pH and oxygen have their own tides.
SLOW = ("tan", "no2", "no3", "alkalinity", "gh", "cl", "p")
HOURS = 12.0
# Water in bright green tanks holds up to twice what air gives; more is a slip of the finger.
MOST_SATURATION = 2.0
MEQ_PER_MG_CL = 1.0 / facts.value("atoms.cl")
MEQ_PER_MG_N = 1.0 / facts.value("atoms.n")


def contradictions(found: Waters) -> tuple[Reason, ...]:
    """Every contradiction among the fresh readings."""
    return (*_twice(found), *_carbon(found), *_oxygen(found), *_salts(found))


def _twice(found: Waters) -> Iterator[Reason]:
    """Two readings of one thing within hours that share no value, and nothing done to the water between."""
    for quantity in SLOW:
        for before, after in pairwise(found.history.get(quantity, ())):
            hours = (after.at - before.at).total_seconds() / 3600.0
            if not after.fresh or hours > HOURS or any(before.at < at <= after.at for at in found.changed_at):
                continue
            if before.most < after.least or after.most < before.least:
                values: dict[str, Value] = {
                    "quantity": quantity, "hours": round(hours, 1), "low": before.least, "high": _number(before.most),
                    "then_low": after.least, "then_high": _number(after.most),
                }  # fmt: skip
                yield Reason("contradiction.twice", values)


def _carbon(found: Waters) -> Iterator[Reason]:
    """PH and alkalinity that no water has: more carbon dioxide than breath makes, or less than air holds."""
    ph, alkalinity = found.seen("ph"), found.seen("alkalinity")
    if ph is None or alkalinity is None or not (ph.fresh and alkalinity.fresh) or ph.on != alkalinity.on:
        return
    temps = [min(max(x, 0.0), 50.0) for x in (found.ends["temperature"].low, found.ends["temperature"].high)]
    most = alkalinity.most if np.isfinite(alkalinity.most) else 2.0 * max(alkalinity.least, 1.0)
    corners = [
        float(co2_mg_l(x, alk, t)) for x, alk, t in product((ph.least, ph.most), (alkalinity.least, most), temps)
    ]
    values: dict[str, Value] = {"ph_low": ph.least, "ph_high": ph.most, "low": alkalinity.least, "high": most}
    if min(corners) > CO2_MOST:
        yield Reason("contradiction.co2_high", {**values, "co2": min(corners), "mark": CO2_MOST})
    least = (
        facts.value("verdict.pco2_least") * float(np.max(equilibria.henry_co2(temps[0]))) * carbonate.CO2_G_MOL * 1e3
    )
    if max(corners) < least:
        yield Reason("contradiction.co2_low", {**values, "co2": max(corners), "mark": least})


def _oxygen(found: Waters) -> Iterator[Reason]:
    seen = found.seen("oxygen")
    if seen is None or not seen.fresh:
        return
    full = saturation_mg_l(found.system, found.ends["temperature"].low)
    if seen.least > MOST_SATURATION * full:
        yield Reason("contradiction.oxygen", {"low": seen.least, "full": full})


def _salts(found: Waters) -> Iterator[Reason]:
    """Conductivity below what the salts read by other tests must give."""
    ec = found.seen("ec")
    if ec is None or not ec.fresh or not np.isfinite(ec.most):
        return
    per = {"alkalinity": 1.0, "cl": MEQ_PER_MG_CL, "no3": MEQ_PER_MG_N}
    seen = {name: found.seen(name) for name in per}
    meq = sum(per[name] * item.least for name, item in seen.items() if item is not None and item.fresh)
    least = meq * facts.value("verdict.salts_per_meq")
    if least > ec.most:
        yield Reason("contradiction.salts", {"ec": ec.most, "meq_l": meq, "least": least})


def _number(value: float) -> float | None:
    return value if np.isfinite(value) else None
