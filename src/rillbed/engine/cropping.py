"""A crop of the tables as the steps see it."""

from functools import cache

from rillbed import facts
from rillbed.engine.inputs import Crop
from rillbed.facts.records import Crop as Record
from rillbed.facts.single import GrowthClass
from rillbed.science import uptake


@cache
def crop_of(crop_id: str) -> Crop:
    """Give growth, contents and water use of a crop: its own course through its class's canopy."""
    r = facts.crops()[crop_id]
    kind = class_of(r)
    total = r.total_dm_growth_g_m2_d_mean * r.days_in_bed_default
    canopy = max(kind.canopy_g_m2_day, facts.choice("plant.canopy_over_mean") * r.total_dm_growth_g_m2_d_mean)
    small = kind.seed_g if r.first_harvest_counted_from == "sowing" else kind.seedling_g
    rate, start = uptake.course(
        total, r.days_in_bed_default, canopy, small * r.spacing_default_plants_m2,
        facts.choice("plant.slowest_per_day"), facts.choice("plant.fastest_per_day"),
    )  # fmt: skip
    return Crop(
        plants_per_m2=r.spacing_default_plants_m2, start_g=start / r.spacing_default_plants_m2, canopy_g_m2_day=canopy,
        relative_per_day=rate, days=r.days_in_bed_default, n=r.n_uptake_g_m2_per_crop / total,
        n_curve=curve_of(crop_id), t_low=r.t_base_c, t_best=r.t_opt_c, t_high=r.t_ceiling_c,
        light_mol=r.dli_opt_mol_m2_d, kc_ini=r.kc_ini, kc_mid=r.kc_mid, cut_share=kind.cut_share,
    )  # fmt: skip


def class_of(record: Record) -> GrowthClass:
    """Give the growth class of a crop: that of its group where there is one."""
    classes = facts.growth_classes()
    return classes.get(record.crop_group) or classes[record.crop_class]


def curve_of(crop_id: str) -> tuple[float, float] | None:
    """Give the nitrogen dilution curve of a crop (percent at 1 t/ha, exponent), None where it has none."""
    for curve in facts.dilution_curves().values():
        if crop_id in curve.crops:
            return curve.a_pct, curve.b
    return None
