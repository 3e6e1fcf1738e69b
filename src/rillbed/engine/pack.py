"""From a System and its log to the plain numbers the steps need."""

from collections.abc import Iterable
from typing import Any

import numpy as np

from rillbed import facts
from rillbed.engine import climate
from rillbed.engine.inputs import Feed, Fish, Loop, Number, Water
from rillbed.engine.state import MINERALS
from rillbed.engine.stoichiometry import MOLAR_G
from rillbed.facts.records import Species
from rillbed.facts.supplies import AmmoniaSource, Brings
from rillbed.garden.products import Product
from rillbed.garden.system import Bed, System
from rillbed.science import growth, oxygen
from rillbed.science.feed import nitrogen_g
from rillbed.units import convert_basis

FIRST_MEAL_H, FEEDING_DAY_H = 8.0, 12.0  # meals are spread over the day from the first
TABLE_G = (5, 20, 50, 100, 250, 500)  # weights of the lines of feed tables


IONS = {"k": "k_mg_l", "ca": "ca_mg_l", "mg": "mg_mg_l", "fe": "fe_mg_l", "p": "p_mg_l", "s": "so4_s_mg_l",
        "na": "na_mg_l", "cl": "cl_mg_l"}  # fmt: skip
"""Field of the source water for each mineral of the loop."""


def source_water(system: System) -> Water:
    """Source water; where the user has not said, the table's middling water (see `assumed`)."""

    def known(field: str) -> float:
        value = getattr(system.source_water, field)
        return facts.choice(_stand_in(field)) if value is None else float(value)

    ions = {element: known(field) for element, field in IONS.items()}
    # chloramine, given as chlorine (Cl2), holds a nitrogen for two chlorine; removing it sets ammonia free
    tan = (system.source_water.chloramine_mg_l or 0.0) * MOLAR_G["n"] / (2.0 * MOLAR_G["cl"])
    return Water(alk=known("alkalinity_meq_l"), no3=known("no3_n_mg_l"), ions=ions, tan=tan)


def _stand_in(field: str) -> str:
    return f"source_water.{field}"


def assumed(system: System) -> tuple[str, ...]:
    """Keys of the facts that stand in for what the user has not said."""
    fields = ("alkalinity_meq_l", "no3_n_mg_l", *IONS.values())
    keys = [_stand_in(field) for field in fields if getattr(system.source_water, field) is None]
    media = [bed for bed in system.beds if bed.kind == "media"]
    if any(bed.medium is None for bed in media):
        keys.append("bed.medium_surface_m2_m3")
    if any(bed.depth_cm is None for bed in media):
        keys.append("bed.depth_cm")
    return tuple(keys if system.feed else [*keys, "feed.protein_pct"])


def bed_m2(bed: Bed) -> float:
    """Nominal surface bacteria can grow on in a bed: media by their volume, rafts and channels by area."""
    if bed.kind != "media":
        return bed.area_m2 * facts.choice("bed.raft_surface_m2_m2")
    depth = (bed.depth_cm or facts.choice("bed.depth_cm")) / 100.0
    medium = facts.media()[bed.medium] if bed.medium else None
    return bed.area_m2 * depth * (medium.surface_m2_m3 if medium else facts.choice("bed.medium_surface_m2_m3"))


def wall_m2() -> float:
    """Surface of walls and pipes."""
    return facts.choice("tank.wall_surface_m2")


def nitrifying_m2(system: System) -> float:
    """Nominal surface of the whole loop, beds and walls."""
    return sum(bed_m2(bed) for bed in system.beds) + wall_m2()


def capacity_g_m3_day(loop: Loop) -> Number:
    """Most nitrogen the surfaces can turn over at 20 degC, g/m3/day."""
    per_m2 = facts.choice("filter.area_rate_g_m2_day") * facts.choice("filter.effective_share")
    return per_m2 * loop.nitrify_area_m2 / loop.volume_m3


def feed_of(feed_id: str | None) -> Feed:
    """Give a feed's protein and minerals; None is the stand-in for a feed nobody has named."""
    protein = facts.feeds()[feed_id].protein_pct if feed_id else facts.choice("feed.protein_pct")
    rows = {e: row for e, row in facts.element_fractions().items() if e in MINERALS}
    return Feed(
        protein=protein / 100.0,
        content={e: row.content_g_kg for e, row in rows.items()},
        to_fish={e: row.to_fish for e, row in rows.items()},
        dissolved={e: row.dissolved for e, row in rows.items()},
    )


def feed_table(record: Species) -> tuple[tuple[float, float], ...]:
    """Lines of a species' feed table; empty where the table was only worked out from its growth figures."""
    if not (record.feed_origin.source or record.feed_origin.grade == "practice"):
        return ()
    lines = ((w, getattr(record, f"feed_pctbwd_at_topt_{w}g")) for w in TABLE_G)
    return tuple((float(w), share / 100.0) for w, share in lines if share is not None)


def fish_of(species_id: str) -> Fish:
    """Growth and limits of a species.

    Raises
    ------
    ValueError
        For a species of which neither growth nor a feed table is known.
    """
    r = facts.species()[species_id]
    table, tgc, at = feed_table(r), r.tgc_typical_per1000, r.tgc_ref_temp_c
    if tgc is None or at is None:  # no growth measured: the middle line of its feed table implies one
        if not table:
            raise ValueError(f"species {species_id}: neither growth nor a feed table is known; one is needed")
        weight, share = table[len(table) // 2]
        at = r.ctmi_topt_c
        tgc = 1000.0 * float(growth.rate_of_ration(share, weight, r.fcr_typical)) / at
    return Fish(
        tgc=tgc, tgc_at_c=at, fcr=r.fcr_typical, tan_limit=r.tan_max_mg_l,
        no2_limit=convert_basis(r.nitrite_max_mg_l, "NO2", "N"),
        cl_guard=r.chloride_share * convert_basis(1.0 / facts.value("dosing.chloride_per_nitrite"), "NO2", "N"),
        o2_want=r.do_min_mg_l, o2_crit=r.do_critical_mg_l,
        t_stop=r.temp_feed_stop_low_c, t_low=r.ctmi_tmin_c, t_best=r.ctmi_topt_c, t_high=r.ctmi_tmax_c, table=table,
        harvest_g=r.harvest_weight_g, end_g=r.growth_end_g,
    )  # fmt: skip


def loop_of(system: System) -> Loop:
    """Build the loop as the steps see it."""
    weather = climate.climate_of(system)
    hours = tuple(int(FIRST_MEAL_H + FEEDING_DAY_H * i / system.meals_per_day) for i in range(system.meals_per_day))
    return Loop(
        volume_m3=system.total_volume_m3, bed_area_m2=system.bed_area_m2, surface_m2=climate.surface_m2(system),
        source=source_water(system), temp_c=weather.water_c, air_c=weather.air_c, et_mm=weather.et_mm,
        open_mm=weather.open_mm, bare_kc=facts.choice("evaporation.bare_bed_kc"), light_mol=weather.light_mol,
        pressure_atm=float(oxygen.station_pressure_atm(system.elevation_m)),
        media=not system.beds or any(b.kind == "media" for b in system.beds), nitrify_area_m2=nitrifying_m2(system),
        mature=1.0 if system.startup_path == "running" else 0.0, meals=tuple(min(h, 23) for h in hours),
        feed=feed_of(system.feed), fish_m3=system.fish_tank_volume_m3, heater_c=system.heater_set_c,
        cools_h=climate.cools_h(system), catch_m2=climate.catch_m2(system), rain_mm=weather.rain_mm,
    )  # fmt: skip


def dose_grams(payload: Any, products: Iterable[Product] = ()) -> dict[str, float]:
    """Work out what a dose brings by state name (g; alk in eq), from the composition of the substance.

    Own products bring what their labels say; what they do to alkalinity no label says, and none is booked.

    Raises
    ------
    ValueError
        For a substance that is in no table.
    """
    substance = payload.substance
    if substance in facts.ammonia_sources():
        return _ammonia(facts.ammonia_sources()[substance], payload)
    if substance in facts.supplements():
        row = facts.supplements()[substance]
        grams = _grams(payload, row.density_g_ml)
        grams *= 1.0 if payload.strength_pct is None else payload.strength_pct / 100.0
        organic = row.n_pct / 100.0 * grams
        return _brought(row, grams, {"organic": organic, "no3": row.no3_n_pct / 100.0 * grams})
    if substance in facts.feeds():
        feed, grams = feed_of(substance), _grams(payload, None)
        return {"organic": float(nitrogen_g(grams, feed.protein))} | {
            e: grams * feed.content[e] * 1e-3 * share for e, share in feed.dissolved.items()
        }
    own = next((item for item in products if item.id == substance), None)
    if own is not None:
        return _labelled(own, own.grams(payload.grams, payload.ml))
    raise ValueError(f"substance: {substance!r} is in no table; allowed are supplements, ammonia sources and feeds")


N_STATE = {"nitrate": "no3", "ammonium": "tan", "organic": "organic"}


def _labelled(own: Product, grams: float) -> dict[str, float]:
    brought = {e: grams * own.shares[e] for e in MINERALS if e in own.shares}
    return brought | ({N_STATE[own.n_form]: grams * own.shares["n"]} if "n" in own.shares else {})


def _ammonia(row: AmmoniaSource, payload: Any) -> dict[str, float]:
    strength = row.reference_strength_pct if payload.strength_pct is None else payload.strength_pct
    density = row.density_g_ml
    if row.strengths_pct:
        density = float(np.interp(strength, row.strengths_pct, row.densities_g_ml))
    # every share of the table scales with the strength on the label
    grams = _grams(payload, density) * strength / row.reference_strength_pct
    n = row.n_pct / 100.0 * grams
    return _brought(row, grams, {"tan": n * row.at_once_share, "organic": n * (1.0 - row.at_once_share)})


def _grams(payload: Any, density_g_ml: float | None) -> float:
    if payload.grams is not None:
        return float(payload.grams)
    density = payload.density_g_ml or density_g_ml or facts.choice("supply.density_g_ml")
    return float(payload.ml * density)


def _brought(row: Brings, grams: float, nitrogen: dict[str, float]) -> dict[str, float]:
    minerals = {e: grams * getattr(row, f"{e}_pct") / 100.0 for e in MINERALS}
    brought = nitrogen | minerals | {"alk": grams * row.alkalinity_eq_per_g}
    return {name: amount for name, amount in brought.items() if amount}
