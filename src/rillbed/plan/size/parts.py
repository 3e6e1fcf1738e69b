"""What a loop weighs, moves, burns and drinks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rillbed import facts
from rillbed.engine.climate import Climate, cools_h
from rillbed.facts.records import Fact
from rillbed.garden.system import Bed, System
from rillbed.plan.bands import Band
from rillbed.plan.outage.life import air_for
from rillbed.plan.outage.load import Shoal, Spread, Tank
from rillbed.science import heat, oxygen

GRAVITY, SECONDS_PER_H, W_PER_KW = 9.80665, 3600.0, 1000.0
KG_PER_M3, L_PER_M3, CM_PER_M = 1000.0, 1000.0, 100.0
HOURS_MONTH, DAYS_MONTH = 730.5, 30.44


def ends(key: str) -> Band:
    """Give a figure with its spread."""
    fact: Fact = facts.fact(key)
    assert isinstance(fact.value, float)
    return Band(fact.low or fact.value, fact.value, fact.high or fact.value)


def bed_kg_m2(bed: Bed) -> float:
    """Weight of a square metre of bed at its wettest, frame and plants included, kg."""
    frame = facts.value("size.frame")
    if bed.kind == "nft":
        return frame + facts.value("size.channel_water")
    depth = (bed.depth_cm if bed.kind == "media" else bed.water_depth_cm) or 0.0
    if bed.kind == "raft":
        return frame + depth / CM_PER_M * KG_PER_M3
    medium = facts.media().get(bed.medium or "")
    bulk = (medium.bulk_kg_m3 if medium else None) or max(row.bulk_kg_m3 or 0.0 for row in facts.media().values())
    return frame + depth / CM_PER_M * (bulk + bed.pore_fraction * KG_PER_M3)


def sump_l(beds: Sequence[Bed]) -> float:
    """Sump that holds what drains back when the pump stops, L; a raft keeps its water."""
    back = 0.0
    for bed in beds:
        if bed.kind == "media":
            back += bed.area_m2 * (bed.depth_cm or 0.0) / CM_PER_M * bed.pore_fraction * L_PER_M3
        elif bed.kind == "nft":
            back += bed.area_m2 * facts.value("size.channel_water")
    return facts.value("size.sump_share") * back


def pump_w(litres_h: float) -> float:
    """Electric power that lifts so much water, W."""
    work = litres_h / L_PER_M3 / SECONDS_PER_H * KG_PER_M3 * GRAVITY * facts.value("size.head")
    return work / facts.value("size.pump_share")


def air(system: System, shoal: Shoal, warmest_c: float, unsure: Spread) -> tuple[float, float]:
    """Air (L/min) and power (W) that hold fed fish on the warmest day."""
    litres = sum(t.volume_l for t in system.tanks if t.kind == "fish")
    tank = Tank("tank", litres, litres / L_PER_M3 / facts.choice("tank.depth_m"), (shoal,))
    pressure = float(oxygen.station_pressure_atm(system.elevation_m))
    need = air_for(tank, warmest_c, float(oxygen.saturation_mg_l(warmest_c, pressure)), unsure)
    return need.air_l_min, need.watts


def heat_kwh_month(system: System, air_c: Sequence[float]) -> Band:
    """Electricity that holds the set temperature in the mildest, a mean and the coldest month, kWh."""
    if system.heater_set_c is None:
        return Band(0.0, 0.0, 0.0)
    months = sorted(
        float(heat.heater_kwh_day(system.heater_set_c, t, system.total_volume_m3, cools_h(system))) * DAYS_MONTH
        for t in air_c
    )
    return Band(months[0], sum(months) / len(months), months[-1])


def lost_l_day(climate: Climate, bed_m2: float, open_m2: float) -> Band:
    """Water lost to the air in the coolest, a mean and the warmest month, L/day (1 mm on 1 m2 is 1 L)."""
    months = sorted(bed_m2 * leaf + open_m2 * water for leaf, water in zip(climate.et_mm, climate.open_mm, strict=True))
    return Band(months[0], sum(months) / len(months), months[-1])


def bleed_l_day(lost_l: float, feed_g_day: float, source_na_mg_l: float | None) -> float:
    """Water to drain each day so that sodium does not pass what plants bear, L; infinite where it never can.

    Notes
    -----
    Steady state: what top-up and feed bring equals what is drained at the limit.
    """
    limit = facts.water_limits()["na_plants"].high
    row = facts.element_fractions()["na"]
    assert limit is not None
    if source_na_mg_l is None:
        return 0.0
    fed_mg = feed_g_day * row.content_g_kg * row.dissolved
    if source_na_mg_l >= limit:
        return math.inf
    return max(0.0, (lost_l * source_na_mg_l + fed_mg) / (limit - source_na_mg_l))
