"""Alkalinity, pH and nutrients: published figures of running loops against the model's."""

from functools import cache

import numpy as np

from rillbed import engine
from rillbed.garden.system import System
from rillbed.science import nitrifier
from validation import stalls
from validation.check import Check
from validation.loops import RUNNING, START, in_turn, indoors

MEMBERS, MONTH, LONG = 200, 29, 240
CACO3_MG_MEQ, NAHCO3_G_EQ, NA_G_EQ = 50.04, 84.007, 22.990
BATCHES, WEEKS = 4, 4
RAFTS = """
feed = "{feed}"
tanks = [{{ name = "Tank", volume_l = {litres} }}]
beds = [{{ name = "Bed", kind = "raft", water_depth_cm = 30, area_m2 = {area_m2} }}]
source_water = {{ ph = 7.0, {source} }}
"""
TAP_MEQ_L = 1.6
TAP = (
    f"alkalinity_meq_l = {TAP_MEQ_L}, ca_mg_l = 40, mg_mg_l = 8, k_mg_l = 2, na_mg_l = 10, cl_mg_l = 20, no3_n_mg_l = 1"
)
RAIN = "alkalinity_meq_l = 0.1, ca_mg_l = 1, mg_mg_l = 0.5, k_mg_l = 0.3, na_mg_l = 3, cl_mg_l = 5, no3_n_mg_l = 0"
RAFT_M2, RAFT_L, RAFT_FEED = 3.0, 1540.0, 57.0  # 214 m2 of rafts in 110 m3; g of feed per m2 and day
SLUDGE_L_DAY = 13.0  # what plants leave of a make-up of 1.5 % a day


def loop(source: str, feed: str, litres: float, area_m2: float) -> System:
    """Give a warm tilapia loop; rafts hold 300 L a square metre of the litres."""
    own = RAFTS.format(source=source, feed=feed, litres=litres - 300.0 * area_m2, area_m2=area_m2)
    return indoors("Published water", 27, RUNNING + own, latitude_deg=18, longitude_deg=-65)


@cache
def unplanted(feed: str) -> engine.Forecast:
    """Run a month of fish on a fixed ration and no plants, alkalinity kept day by day."""
    future = engine.Future(
        fish=(engine.Arrival("nile_tilapia", 40, 150, START),), feed_g_day=60.0, base_floor_meq_l=TAP_MEQ_L,
        base_target_meq_l=TAP_MEQ_L, base_element="na",
    )  # fmt: skip
    system = loop(TAP, feed, 2000.0, 1.0)
    return engine.forecast(
        system, [], on=START, horizon_days=MONTH, members=MEMBERS, seed=1, future=future
    )  # fmt: skip


@cache
def raft() -> engine.Forecast:
    """Run rafts of lettuce for long on rain, with base and iron as the only additions."""
    sowings = in_turn("lettuce_loose", RAFT_M2 * 25.0 / BATCHES, BATCHES, WEEKS)
    future = engine.Future(
        fish=(engine.Arrival("nile_tilapia", 60, 150, START),), feed_g_day=RAFT_FEED * RAFT_M2, plantings=sowings,
        base_floor_meq_l=0.8, base_target_meq_l=1.2, base_element="k", supplement_to_mg_l=(("fe", 2.0),),
        drain_l_day=SLUDGE_L_DAY,
    )  # fmt: skip
    system = loop(RAIN, "pellet_32", RAFT_L, RAFT_M2)
    return engine.forecast(system, [], on=START, horizon_days=LONG, members=MEMBERS, seed=1, future=future)


def base_per_feed() -> np.ndarray:
    """Return the alkalinity used as sodium bicarbonate per feed, g/kg: given, brought by fresh water, and gone."""
    made = unplanted("pellet_32")
    alk, volume = (made.columns[n].astype(float) for n in ("alkalinity_meq_l", "volume_m3"))
    fresh = TAP_MEQ_L * 1e-3 * made.columns["topup_l_day"][: MONTH + 1].astype(float).sum(axis=0)
    gone = alk[0] * volume[0] - alk[MONTH] * volume[MONTH]
    eq = made.booked["na.base.in"][2] / NA_G_EQ + fresh + gone
    return np.asarray(NAHCO3_G_EQ * eq / (made.columns["feed_g_day"][: MONTH + 1].sum(axis=0) * 1e-3))


def released(element: str, other: str) -> np.ndarray:
    """Return the mass of one element over another that feed brings into the water, (members,)."""
    made = unplanted("pellet_40")
    return np.asarray(made.booked[f"{element}.feed.in"][2] / made.booked[f"{other}.feed.in"][2])


def checks() -> list[Check]:
    """Hold what is printed as numbers; what stands only as words is named on the page."""
    last = raft()
    uvi = (
        "Rakocy et al. 1997, as in SRAC 454 (from memory: range over the trials of the raft loop on the Virgin Islands)"
    )
    taken = "57 g of feed per m2 and day, rain, 0.8 % of the water let go a day with sludge (from memory), day 240"
    printed = {"no3": ("nitrate as N", (0.4, 82)), "p": ("phosphorus", (0.4, 15)), "mg": ("magnesium", (0.7, 13)),
               "s": ("sulfur", (0.1, 23))}  # fmt: skip
    yang = "Yang & Kim 2020, Water 12:1259 (release of feed of 41 % protein into pure water, per day)"
    at_5 = 100 * np.full(MEMBERS, float(nitrifier.ph_factor(5.0)))
    return [
        Check("W1", "Alkalinity used against feed without plants, as sodium bicarbonate", "g per kg", (250, 250),
              base_per_feed(), "Timmons & Ebeling (from memory: about 0.25 kg per kg of feed)",
              note="feed of 32 % protein, alkalinity kept at 80 mg/L as CaCO3, a month"),
        Check("W2", "Alkalinity used per nitrogen turned to nitrate, as CaCO3", "mg per mg", (7.14, 7.14),
              alkalinity_per_nitrogen(), "Hiatt & Grady 2008, Water Environ. Res. 80:2145 (process matrix)",
              blind=False, note="the model books the same stoichiometry; gas and fresh water make the difference"),
        Check("W3", "Rate of the ammonia step at pH 5 against pH 7.5", "%", (0, 0), at_5,
              "Ecohydrology & Hydrobiology 2019, 19:54 (stopped at pH 5)", note="river water, in batches"),
        Check("W4", "Potassium against phosphorus released from feed", "mg per mg", (0.8 / 2.4, 0.8 / 2.4),
              released("k", "p"), yang, note="pellet of 40 % protein taken; the shares that dissolve are from memory"),
        Check("W5", "Calcium against phosphorus released from feed", "mg per mg", (0.2 / 2.4, 0.2 / 2.4),
              released("ca", "p"), yang, note="as W4"),
        *(Check(f"W{6 + i}", f"Raft loop: {name}", "mg/L", window, last.columns[f"{e}_mg_l"][-1].astype(float), uvi,
                note=taken) for i, (e, (name, window)) in enumerate(printed.items())),
    ]  # fmt: skip


def alkalinity_per_nitrogen() -> np.ndarray:
    """Return alkalinity (as CaCO3) used while a seeded start turned a dose over, per nitrate as N, mg/mg."""
    system = stalls.loop(3.0).model_copy(update={"seeding": "mature"})
    log = [stalls.ammonia(system, 0, 10.0)]
    made = engine.forecast(
        system, log, on=stalls.START, horizon_days=30, members=MEMBERS, seed=1, future=engine.Future()
    )  # fmt: skip
    alk, no3 = (made.columns[n].astype(float) for n in ("alkalinity_meq_l", "no3_mg_l"))
    return np.asarray((alk[0] - alk[-1]) * CACO3_MG_MEQ / (no3[-1] - no3[0]))
