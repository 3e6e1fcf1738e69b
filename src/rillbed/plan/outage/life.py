"""How long each kind lasts without air, and how much air would hold it."""

from __future__ import annotations

import numpy as np

from rillbed import facts
from rillbed.plan.members import quantile
from rillbed.plan.outage.answer import Air, Lasts, Minutes, TankLife
from rillbed.plan.outage.load import MG_PER_G, Floats, Spread, Tank
from rillbed.science import aeration

# Cautious first: nine members in ten last longer.
CAUTIOUS, MIDDLE, HOPEFUL = 0.1, 0.5, 0.9
HOURS_PER_DAY, MINUTES_PER_HOUR = 24.0, 60.0


def life(
    tank: Tank, temp_c: float, saturation_mg_l: float, start_mg_l: dict[str, Floats | float], unsure: Spread
) -> TankLife:
    """Work out every kind and case of one tank.

    Parameters
    ----------
    tank : Tank
        The vessel and its fish.
    temp_c, saturation_mg_l : float
        Water temperature, and oxygen at saturation there.
    start_mg_l : dict
        Oxygen when the air stops by case, ``day`` and ``night``, one figure or one per member.
    unsure : Spread
        Factors on use and the still surface's exchange.
    """
    lasts = []
    for species in dict.fromkeys(shoal.species for shoal in tank.shoals):
        row = facts.species()[species]
        for case, start in start_mg_l.items():
            for fed in (False, True):
                levels = (row.do_min_mg_l, row.do_critical_mg_l)
                stress, critical = (
                    minutes(tank, temp_c, saturation_mg_l, start, level, fed, unsure) for level in levels
                )
                lasts.append(Lasts(species, case, fed, stress, critical))
    use = tank.use_mg_l_h(temp_c, fed=True) * quantile(unsure.use, unsure.weights, MIDDLE)
    start = min(quantile(np.broadcast_to(v, unsure.weights.shape), unsure.weights, MIDDLE) for v in start_mg_l.values())
    return TankLife(
        tank.name,
        tank.volume_l,
        tank.biomass_g,
        tank.biomass_g / tank.volume_l,
        temp_c,
        start,
        use,
        tuple(sorted(lasts, key=lambda item: item.critical.cautious)),
        air_for(tank, temp_c, saturation_mg_l, unsure),
    )


def minutes(
    tank: Tank, temp_c: float, saturation_mg_l: float, start: Floats | float, level: float, fed: bool, unsure: Spread
) -> Minutes:
    """Give the spread of the time to a level of oxygen."""
    use = tank.use_mg_l_h(temp_c, fed=fed) * unsure.use
    per_h = unsure.surface_m_day * tank.surface_m2 / (tank.volume_l / 1000.0) / HOURS_PER_DAY
    hours = np.broadcast_to(
        np.asarray(aeration.hours_until(start, level, saturation_mg_l, per_h, use)), unsure.weights.shape
    )
    return Minutes(*(MINUTES_PER_HOUR * quantile(hours, unsure.weights, q) for q in (CAUTIOUS, MIDDLE, HOPEFUL)))


def air_for(tank: Tank, temp_c: float, saturation_mg_l: float, unsure: Spread) -> Air:
    """Size a battery pump for fed fish at the stricter tail of their use, holding the least oxygen they should have."""
    if not tank.shoals:
        return Air(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    hold = max(facts.species()[shoal.species].do_min_mg_l for shoal in tank.shoals)
    value = facts.value
    # A level the water cannot hold even when full is of no use as a mark.
    hold = min(hold, 0.8 * saturation_mg_l)
    need = tank.use_mg_l_h(temp_c, fed=True) * quantile(unsure.use, unsure.weights, HOPEFUL)
    need_g_h = need * tank.volume_l / MG_PER_G
    standard = float(aeration.stone_g_h(1.0, value("aeration.transfer_share")))
    per_l_min = float(
        aeration.field_g_h(
            standard, temp_c, saturation_mg_l, hold, value("aeration.tank_water"), value("aeration.tank_saturation"),
            value("aeration.fouling"),
        )
    )  # fmt: skip
    air = need_g_h / per_l_min
    watts = air * value("aeration.watts_per_l_min")
    hours = value("aeration.reserve_hours")
    charge = watts * hours / value("aeration.battery_volts") / value("aeration.battery_share")
    drop = value("aeration.pour_height")
    gained = float(aeration.fallen_mg_l(hold, saturation_mg_l, drop, temp_c, value("aeration.pour_water"))) - hold
    pour = need_g_h * MG_PER_G / gained / MINUTES_PER_HOUR
    return Air(need_g_h, air, watts, charge, hours, pour)
