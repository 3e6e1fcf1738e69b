"""What is constant over one day of one loop: every rate at the water's temperature, every equilibrium."""

import numpy as np

from rillbed import facts
from rillbed.engine.chem import constants
from rillbed.engine.hourly import Day
from rillbed.engine.result import Array
from rillbed.engine.world import World
from rillbed.science import nitrifier, solids
from rillbed.science.feed import nitrogen_g

STAGES = 2.0  # of excretion, equal
HOURS = 24.0
NITRIFIER_C, BREAKDOWN_C = 20.0, 25.0  # temperatures the parameters are given at


def of_day(w: World, demand: Array) -> Day:
    """Give the constants of the day from the world as it stands; `demand` is what plants ask, g N/m3/day."""
    p, t = w.p, w.temp
    c = constants(t, w.y, w.loop.pressure_atm)
    biomass = sum((g.count * g.weight for g in w.groups), np.zeros(w.members))
    per_day = p["respiration"] * np.maximum(w.feed_mean, facts.choice("breath.rest_ration") * biomass) / w.volume
    meals = facts.choice("breath.meal_share")
    n_out = facts.choice("breath.dissolved_n_share") * float(nitrogen_g.inner(1.0, w.feed.protein))
    ripe = w.mature * (p["alk_half_mature"] - p["alk_half_startup"])

    def warm(name: str, at_c: float) -> Array:
        return solids.temperature_factor.inner(t, facts.choice(f"rate.{name}_theta"), at_c)

    return Day(
        theta_a=nitrifier.temperature_factor.inner(t, p["theta_a"]),
        theta_n=nitrifier.temperature_factor.inner(t, p["theta_n"]),
        decay=p["decay"] * warm("decay", NITRIFIER_C), temp_c=np.asarray(t), k1=c["k1"], rho=c["rho"],
        gamma1=c["gamma1"], kw=c["kw"], strength=c["strength"], ka_nh3=c["ka_nh3"],
        ka_po4=c["ka_po4"], co2_eq=c["co2_eq"], o2_sat=c["o2_sat"], kla=p["kla_o2"] * w.air,
        gut=STAGES * HOURS / facts.choice("rate.excretion_delay_h") * warm("excretion", BREAKDOWN_C),
        breath=(1.0 - meals) * per_day, breath_n=meals * p["respiration"] / n_out,
        solids_k=p["solids_k"] * warm("solids", BREAKDOWN_C), organic_k=p["organic_k"] * warm("solids", BREAKDOWN_C),
        denit=p["k_denit"] * warm("denitrification", NITRIFIER_C),
        coupled=np.minimum(p["coupled_share"], facts.choice("rate.most_coupled_share")), demand=demand,
        mature=w.mature, alk_half=p["alk_half_startup"] + ripe, mu_a=p["mu_a"], mu_n=p["mu_n"], k_tan=p["k_tan"],
        k_no2=p["k_no2"], ki_nh3=p["ki_nh3"], cap_max=p["cap_max"],
    )  # fmt: skip
