"""From a System and its log to the plain numbers the steps need."""

from collections.abc import Sequence
from typing import Any

from rillbed import facts
from rillbed.engine import stoichiometry as st
from rillbed.engine.inputs import IONS0, Crop, Feed, Fish, Loop, Water
from rillbed.engine.state import MINERALS
from rillbed.garden.system import System
from rillbed.science import growth, oxygen
from rillbed.science.feed import nitrogen_g

SURFACE = {"media": 150.0, "raft": 5.0, "nft": 5.0}  # m2 of nitrifying surface per m2 of bed
CAPACITY_G_M2 = 0.45  # half of 0.9 g N/m2/day, the guideline area rate at 20 degC
TABLE_G = (5, 20, 50, 100, 250, 500)  # weights of the lines of feed tables
NH3_G_MOL = 17.031
OPEN_ET = {"indoors": 0.6, "greenhouse": 0.7, "outdoors": 1.0}


def get(record: Any, name: str, default: Any) -> Any:
    """Field of a record, or the default where it is missing or empty."""
    value = getattr(record, name, None)
    return default if value is None else value


def source_water(system: System) -> Water:
    """Source water with the unknown filled by middling values."""
    w = system.source_water
    names = {"k": "k_mg_l", "ca": "ca_mg_l", "mg": "mg_mg_l", "fe": "fe_mg_l", "p": "p_mg_l", "s": "so4_s_mg_l",
             "na": "na_mg_l", "cl": "cl_mg_l"}  # fmt: skip
    ions = {e: get(w, field, IONS0[e]) for e, field in names.items()}
    return Water(alk=get(w, "alkalinity_meq_l", 2.0), no3=get(w, "no3_n_mg_l", 1.0), ions=ions)


def monthly_temperature(system: System) -> tuple[float, ...]:
    """Twelve water temperatures without a heater: given, or the town's air (milder indoors)."""
    if system.water_temp_c is not None:
        base = system.water_temp_c
    else:
        town = facts.towns().get(system.town) if system.town else None
        months = get(town, "months", None)
        air = [get(m, "tavg_c", 18.0) for m in months] if months else [18.0] * 12
        lift = {"indoors": lambda t: max(t, 19.0), "greenhouse": lambda t: t + 3.0, "outdoors": lambda t: t}
        base = tuple(max(lift[system.place](t), 2.0) for t in air)
    return tuple(float(t) for t in base)


def monthly_et(system: System, temps: Sequence[float]) -> tuple[float, ...]:
    """Water use of planted bed, mm/day by month: a straight line of water temperature, by place."""
    return tuple(OPEN_ET[system.place] * max(0.5, 0.14 * t) for t in temps)


def feed_of(feed_id: str | None) -> Feed:
    """Give a feed's protein and minerals."""
    record = facts.feeds().get(feed_id) if feed_id else None
    rows = {e: row for e, row in facts.element_fractions().items() if e in MINERALS}
    return Feed(
        protein=get(record, "protein_pct", 32.0) / 100.0,
        content={e: row.content_g_kg for e, row in rows.items()},
        to_fish={e: row.to_fish for e, row in rows.items()},
        dissolved={e: row.dissolved for e, row in rows.items()},
    )


def feed_table(record: Any) -> tuple[tuple[float, float], ...]:
    """Lines of a species' feed table; empty where the table was only worked out from its growth figures."""
    origin = get(record, "feed_origin", None)
    if origin is None or not (origin.source or origin.grade == "practice"):
        return ()
    lines = ((w, get(record, f"feed_pctbwd_at_topt_{w}g", None)) for w in TABLE_G)
    return tuple((float(w), share / 100.0) for w, share in lines if share is not None)


def fish_of(species_id: str) -> Fish:
    """Growth and limits of a species."""
    r = facts.species().get(species_id)
    plain, table, fcr = Fish(), feed_table(r), get(r, "fcr_typical", 1.5)
    tgc, at = get(r, "tgc_typical_per1000", None), get(r, "tgc_ref_temp_c", plain.tgc_at_c)
    best = get(r, "ctmi_topt_c", plain.t_best)
    if tgc is None and table:  # no growth measured: the middle line of its feed table implies one
        weight, share = table[len(table) // 2]
        tgc, at = 1000.0 * float(growth.rate_of_ration(share, weight, fcr)) / best, best
    return Fish(
        tgc=plain.tgc if tgc is None else tgc, tgc_at_c=at, fcr=fcr, tan_limit=get(r, "tan_max_mg_l", 2.0),
        no2_limit=get(r, "nitrite_max_mg_l", 1.0) * 14.007 / 46.005, o2_want=get(r, "do_min_mg_l", 5.0),
        o2_crit=get(r, "do_critical_mg_l", 2.0), t_stop=get(r, "temp_feed_stop_low_c", plain.t_stop),
        t_low=get(r, "ctmi_tmin_c", plain.t_low), t_best=best, t_high=get(r, "ctmi_tmax_c", plain.t_high),
        table=table, harvest_g=get(r, "harvest_weight_g", plain.harvest_g),
    )  # fmt: skip


def crop_of(crop_id: str) -> Crop:
    """Growth and contents of a crop from the crop table."""
    r = facts.crops().get(crop_id)
    n = get(r, "n_pct_dm", 4.5) / 100.0
    mean = get(r, "total_dm_growth_g_m2_d_mean", 7.0)
    plain = Crop()
    return Crop(
        plants_per_m2=get(r, "spacing_default_plants_m2", 22.0), canopy_g_m2_day=1.6 * mean,
        days=int(get(r, "days_in_bed_default", 35)),
        crit=plain.crit | {"n": n * 0.7}, lux=plain.lux | {"n": n * 1.1},
        t_low=get(r, "t_base_c", 5.0), t_best=get(r, "t_opt_c", 20.0), t_high=get(r, "t_ceiling_c", 32.0),
    )  # fmt: skip


def loop_of(system: System) -> Loop:
    """Build the loop as the steps see it."""
    temps = monthly_temperature(system)
    area = system.bed_area_m2
    surface = sum(b.area_m2 * SURFACE[b.kind] for b in system.beds) + 5.0
    hours = tuple(int(8 + 12 * i / system.meals_per_day) for i in range(system.meals_per_day))
    media = not system.beds or any(b.kind == "media" for b in system.beds)
    return Loop(
        volume_m3=system.total_volume_m3, bed_area_m2=area, surface_m2=system.tank_volume_m3 / 0.8,
        source=source_water(system), temp_c=temps, et_mm=monthly_et(system, temps),
        pressure_atm=float(oxygen.station_pressure_atm(system.elevation_m)), media=media, nitrify_area_m2=surface,
        seeding=system.seeding, mature=1.0 if system.startup_path == "running" else 0.0,
        meals=tuple(min(h, 23) for h in hours), feed=feed_of(system.feed), fish_m3=system.fish_tank_volume_m3,
        heater_c=system.heater_set_c,
    )  # fmt: skip


def dose_grams(payload: Any) -> dict[str, float]:
    """Work out what a dose brings by state name (g; alk in eq), from the composition of the substance."""
    ammonia, extra = facts.ammonia_sources(), facts.supplements()
    record = ammonia.get(payload.substance) or extra.get(payload.substance)
    feed = facts.feeds().get(payload.substance)
    grams = payload.grams
    if grams is None:
        density = payload.density_g_ml or get(record, "density_g_ml", 1.0)
        grams = payload.ml * density
    if get(record, "form", "") == "solution" and payload.strength_pct is not None:
        n = grams * payload.strength_pct / 100.0 * st.MOLAR_G["n"] / NH3_G_MOL
        return {"tan": n, "alk": n * st.EQ_PER_G["n_nh4"]}
    if payload.strength_pct is not None:
        grams *= payload.strength_pct / get(record, "reference_strength_pct", 100.0)
    if feed is not None:
        return {"organic": float(nitrogen_g(grams, get(feed, "protein_pct", 32.0) / 100.0))}
    result: dict[str, float] = {}
    for element in ("n", "k", "ca", "mg", "fe", "p", "s", "na", "cl"):
        share = get(record, f"{element}_g_per_g", None)
        if share is None:
            share = get(record, f"{element}_pct", 0.0) / 100.0
        if share:
            organic = get(record, "organic", False) or get(record, "form", "") in ("organic", "urea")
            name = ("organic" if organic else "tan") if element == "n" else element
            result[name] = grams * share
    eq = get(record, "alkalinity_eq_per_g", None)
    if eq:
        result["alk"] = grams * eq
    return result
