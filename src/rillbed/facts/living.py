"""Fish and crops: what each kind can bear, eats, grows by and takes up.

The two tables lie beside this file; their columns are the fields below.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rillbed.facts.table import Origin, Sourced, package_lines, read_table


@dataclass(frozen=True, slots=True)
class Species(Sourced):
    """A kind of fish (or crayfish); weights are wet, temperatures those of the water.

    `temp_vital` is the range of normal life, not of survival. `nitrite_max_mg_l` counts the ion, not N;
    `growth_end_g` is where thermal growth, full up to the harvest weight, would have fallen to nothing;
    `chloride_share` is how much of the usual protection by chloride the species has, 0 to 1.
    Feed is % of body weight a day at the optimum by weight of the fish. `tgc` is 1000 times g^(1/3) per degC and day,
    None where growth is by moulting. `lw`: weight_g = a * length_cm^b. `o2_rest`: mg per kg and hour
    = a * weight_g^b * q10^((temp - ref) / 10), times the fed factor after meals.
    """

    id: str
    common_name: str
    scientific_name: str
    climate: str
    temp_vital_min_c: float
    temp_vital_max_c: float
    temp_opt_min_c: float
    temp_opt_max_c: float
    temp_feed_stop_low_c: float
    temp_lethal_low_c: float
    temp_lethal_high_c: float
    temp_origin: Origin
    ph_min: float
    ph_max: float
    ph_origin: Origin
    tan_max_mg_l: float
    nitrite_max_mg_l: float
    do_min_mg_l: float
    do_target_mg_l: float
    do_critical_mg_l: float
    water_origin: Origin
    chloride_share: float
    chloride_origin: Origin
    protein_fry_pct: float
    protein_fingerling_pct: float
    protein_growout_min_pct: float
    protein_growout_max_pct: float
    protein_origin: Origin
    feed_pctbwd_at_topt_5g: float
    feed_pctbwd_at_topt_20g: float
    feed_pctbwd_at_topt_50g: float
    feed_pctbwd_at_topt_100g: float
    feed_pctbwd_at_topt_250g: float | None
    feed_pctbwd_at_topt_500g: float | None
    feed_origin: Origin
    meals_per_day_fry: int
    meals_per_day_fingerling: int
    meals_per_day_growout: float
    meals_origin: Origin
    fcr_min: float
    fcr_typical: float
    fcr_max: float
    fcr_origin: Origin
    harvest_weight_g: float
    months_to_harvest_min: float
    months_to_harvest_max: float
    harvest_origin: Origin
    growth_end_g: float
    size_origin: Origin
    density_home_beginner_kg_m3: float
    density_home_max_kg_m3: float
    density_published_max_kg_m3: float
    density_origin: Origin
    tgc_low_per1000: float | None
    tgc_typical_per1000: float | None
    tgc_high_per1000: float | None
    tgc_ref_temp_c: float | None
    tgc_origin: Origin
    ctmi_tmin_c: float
    ctmi_topt_c: float
    ctmi_tmax_c: float
    ctmi_origin: Origin
    lw_a_g_cm: float | None
    lw_b: float | None
    lw_length_type: str
    lw_origin: Origin
    o2_rest_a_mg_kg_h: float
    o2_rest_b_exponent: float
    o2_ref_temp_c: float
    o2_q10: float
    o2_fed_factor: float
    o2_origin: Origin
    legal_caution: str
    care_note: str
    legal_origin: Origin


@dataclass(frozen=True, slots=True)
class Crop(Sourced):
    """A crop; contents are of dry matter, rates per m2 of bed, temperatures of the air.

    `air_t` are monthly means for quality, `t_base`, `t_opt` and `t_ceiling` the cardinal points of growth.
    `ec` is the hydroponic range. Beginner rank runs from 1 (easy) to 5.
    """

    id: str
    common_name: str
    uk_names: str
    au_names: str
    us_names: str
    other_names: str
    scientific_name: str
    crop_class: str
    crop_group: str
    nutrient_demand: str
    growth_form: str
    height_cm: float
    media_bed: str
    raft_dwc: str
    nft: str
    beginner_rank_1easy_5hard: int
    season_type: str
    window_cool_climate: str
    window_temperate: str
    window_subtropical: str
    window_tropical: str
    sow_air_t_low_c: float
    sow_air_t_high_c: float
    serving_g: float | None
    servings_per_plant_per_harvest: float | None
    note: str
    habit_origin: Origin
    spacing_min_plants_m2: float
    spacing_max_plants_m2: float
    spacing_default_plants_m2: float
    spacing_origin: Origin
    germ_days_min: float | None
    germ_days_max: float | None
    germ_t_min_c: float | None
    germ_t_opt_c: float | None
    germ_t_max_c: float | None
    germination_origin: Origin
    nursery_days: int
    first_harvest_days_min: int
    first_harvest_days_max: int
    first_harvest_counted_from: str
    harvest_mode: str
    regrowth_interval_d: float | None
    harvests_default_n: int
    harvest_window_d: float
    days_in_bed_default: int
    time_origin: Origin
    air_t_min_c: float
    air_t_opt_low_c: float
    air_t_opt_high_c: float
    air_t_max_c: float
    air_temp_origin: Origin
    t_base_c: float
    t_opt_c: float
    t_ceiling_c: float
    cardinal_origin: Origin
    frost_class: str
    frost_kill_c: float
    frost_origin: Origin
    ph_min: float
    ph_max: float
    ec_min_ms_cm: float
    ec_max_ms_cm: float
    ph_ec_origin: Origin
    dli_min_mol_m2_d: float
    dli_opt_mol_m2_d: float
    dli_origin: Origin
    yield_g_fresh_per_plant_per_harvest: float
    yield_kg_fresh_m2_per_crop: float
    yield_origin: Origin
    dry_matter_fraction: float
    n_pct_dm: float
    p_pct_dm: float
    k_pct_dm: float
    ca_pct_dm: float
    mg_pct_dm: float
    fe_mg_kg_dm: float
    edible_fraction: float
    composition_origin: Origin
    harvest_index_dm: float
    residue_n_pct_dm: float
    partition_origin: Origin
    n_uptake_g_m2_per_crop: float
    total_dm_growth_g_m2_d_mean: float
    n_uptake_g_m2_d_mean: float
    k_uptake_g_m2_d_mean: float
    uptake_origin: Origin
    kc_ini: float
    kc_mid: float
    kc_end: float
    kc_origin: Origin


@cache
def species() -> dict[str, Species]:
    """Return every kind of fish by id."""
    return read_table(package_lines("species.csv"), Species, "species.csv")


@cache
def crops() -> dict[str, Crop]:
    """Return every crop by id."""
    return read_table(package_lines("crops.csv"), Crop, "crops.csv")
