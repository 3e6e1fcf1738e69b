"""One row of the forecast: what a day's end looks like."""

import numpy as np

from rillbed.engine.hourly import Day, ph_of, protons
from rillbed.engine.result import Array
from rillbed.engine.state import MINERALS, S
from rillbed.engine.world import World
from rillbed.science.carbonate import CO2_G_MOL


def write(w: World, d: int, low_o2: Array, consts: Day) -> None:
    """Write row `d` of every column."""
    y, fl = w.y, consts.flows
    w.h = protons(y, consts, w.h)
    water: dict[str, Array | float] = {
        "tan_mg_l": y[S.TAN], "no2_mg_l": y[S.NO2], "no3_mg_l": y[S.NO3], "ph": ph_of(w.h),
        "nh3_mg_l": y[S.TAN] * consts.ka_nh3 / (consts.ka_nh3 + w.h),
        "alkalinity_meq_l": y[S.ALK], "co2_mg_l": y[S.CO2] * CO2_G_MOL, "o2_mg_l": y[S.O2], "o2_min_mg_l": low_o2,
        "cap_a_g_m3_day": y[S.CAP_A], "cap_n_g_m3_day": y[S.CAP_N], "solids_n_mg_l": y[S.SOLIDS] + y[S.ORGANIC],
        "temp_c": w.temp, "volume_m3": w.volume, **{f"{e}_mg_l": y[r] for e, r in MINERALS.items()},
    }  # fmt: skip
    flows: dict[str, Array | float] = {
        "n_excreted": fl["excreted"] * w.day_volume, "n_mineralised": fl["mineralised"] * w.day_volume,
        "n_nitrified": fl["nitritation"] * w.day_volume, "n_gas": fl["gas"] * w.day_volume, **w.row,
    }  # fmt: skip
    for name, value in (water | _living(w) | flows).items():
        w.columns[name][d] = value


def _living(w: World) -> dict[str, Array | float]:
    count = sum(g.count for g in w.groups)
    biomass = sum((g.count * g.weight for g in w.groups), np.zeros(w.members))
    return {
        "fish_count": count,
        "fish_biomass_g": biomass,
        "fish_weight_g": biomass / max(count, 1e-9),
        "plant_dm_g": sum((b.mass for b in w.beds), np.zeros(w.members)),
        "plant_area_m2": sum(b.area for b in w.beds),
    }
