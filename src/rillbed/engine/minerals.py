"""The plants' day and the minerals: demand, uptake, growth, harvests, iron that drops out and scale that forms."""

from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import plants
from rillbed.engine import stoichiometry as st
from rillbed.engine.calendar import monthly
from rillbed.engine.chem import calcite_product
from rillbed.engine.hourly import Day
from rillbed.engine.result import Array
from rillbed.engine.state import S, added
from rillbed.engine.world import World
from rillbed.science import uptake

Asks = list[tuple[Array, Array]]  # per planting: gain nothing would hold back, nitrogen wanted, g

ALK_UPTAKE = np.array([[st.ALK[f"uptake_{e}"]] for e in plants.TAKEN])


def asked(w: World, today: date) -> Asks:
    """Give each planting's potential gain and nitrogen demand for the day, g."""
    light, air = monthly(w.loop.light_mol, today), monthly(w.loop.air_c, today)
    edges = [facts.choice(f"plant.acid_{edge}_ph") for edge in ("stops", "full")]
    sound = uptake.acid_factor.inner(w.y[S.ALK], *edges)
    gains = []
    for bed in w.beds:
        gain = sound * plants.potential(bed, air, light, w.p["dm_gain"])
        gains.append((gain, plants.demand(bed, "n", gain, w.p)))
    return gains


def day(w: World, consts: Day, asks: Asks, d: int) -> None:
    """Take up, grow, harvest; lose iron and scale."""
    wanted = consts.demand * w.volume
    ratio = np.asarray(w.row["n_plants"]) / np.maximum(wanted, 1e-12)
    for bed, (_, want) in zip(w.beds, asks, strict=True):
        bed.held[plants.HELD["n"]] += want * ratio
    if w.beds:
        _take(w, asks)
    _grow(w, asks)
    _harvest(w, d)
    w.books.cause = "settled"
    lost = w.y[S.FE] * -np.expm1(-w.p["fe_loss"])
    w.y[S.FE] -= lost
    w.books.add("fe", -lost * w.volume)
    _scale(w, consts)


def _take(w: World, gains: Asks) -> None:
    asks = [plants.wanted(bed, gain, w.shares) for bed, (gain, _) in zip(w.beds, gains, strict=True)]
    total = added(asks)
    pools = w.y[plants.ROWS]
    took = plants.taken(pools, total / w.volume)
    pools -= took
    w.y[S.ALK] += added(ALK_UPTAKE * took)
    took *= w.volume
    w.books.add_ions(-took, plants.ROWS)
    share = took / np.maximum(total, 1e-12)
    for bed, ask in zip(w.beds, asks, strict=True):
        plants.fed(bed, share * ask)


def _grow(w: World, asks: Asks) -> None:
    shares, weights = np.zeros(w.members), 0.0
    for bed, (gain, _) in zip(w.beds, asks, strict=True):
        share = plants.grow(bed, gain, w.p, w.shares)
        shares, weights = shares + share * bed.area, weights + bed.area
    w.row["growth_share"] = shares / weights if weights else np.ones(w.members)


def _harvest(w: World, d: int) -> None:
    for i, bed in enumerate(w.beds):
        if w.free(d) and d - bed.day >= bed.crop.days:
            w.beds[i] = plants.start(bed.crop, bed.name, bed.count if w.future.replant else 0.0, d, w.p)
    w.beds = [b for b in w.beds if b.count > plants.NO_PLANTS]


def _scale(w: World, consts: Day) -> None:
    y = w.y
    ksp = calcite_product(w.temp, y)
    co3 = consts.k1 * y[S.CO2] / w.h * consts.k1 * consts.rho / w.h
    si = np.log10(np.maximum(y[S.CA] / st.MOLAR_G["ca"] * co3 * 1e-6 / ksp, 1e-12))
    lost = np.where(si > facts.choice("scale.index"), facts.choice("scale.per_day") * y[S.CA], 0.0)
    lost = np.minimum(lost, np.maximum(y[S.ALK] - facts.choice("scale.least_alkalinity_meq_l"), 0.0) / -st.ALK["scale"])
    y[S.CA] -= lost
    y[S.ALK] += st.ALK["scale"] * lost
    w.books.add("ca", -lost * w.volume)
