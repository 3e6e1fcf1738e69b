"""Where the nitrogen of the feed goes in running loops: published shares against the model's."""

import numpy as np

from rillbed import engine
from validation.check import Check
from validation.loops import RUNNING, START, in_turn, indoors

DAYS, FROM = 240, 90  # shares are counted once the first crops have been followed by the same again
MEMBERS = 200
BATCHES, WEEKS = 5, 7  # a batch a week and a half keeps the bed evenly full
PLANTED = """
feed = "pellet_32"
tanks = [{{ name = "Tank", volume_l = 2000 }}]
beds = [{{ name = "Bed", kind = "{kind}", {bed} area_m2 = {area_m2} }}]
source_water = {{ alkalinity_meq_l = 2.0, ph = 7.6, ca_mg_l = 40, mg_mg_l = 8, cl_mg_l = 20, no3_n_mg_l = 1 }}
"""
BED = {"media": 'medium = "volcanic_gravel", depth_cm = 30,', "raft": "water_depth_cm = 25,"}


def run(kind: str, feed_g_day: float, area_m2: float, crop: str, per_m2: float) -> engine.Forecast:
    """Run a loop of Nile tilapia at 27 degC on a fixed ration, with a crop kept in even succession."""
    own = RUNNING + PLANTED.format(kind=kind, bed=BED[kind], area_m2=area_m2)
    system = indoors("Published nitrogen shares", 27, own, latitude_deg=50, longitude_deg=8)
    sowings = in_turn(crop, area_m2 * per_m2 / BATCHES, BATCHES, WEEKS)
    future = engine.Future(
        fish=(engine.Arrival("nile_tilapia", 40, 120, START),), feed_g_day=feed_g_day, plantings=sowings,
        base_floor_meq_l=1.0, base_target_meq_l=1.6, supplement_to_mg_l=(("k", 40.0), ("fe", 1.5)),
    )  # fmt: skip
    return engine.forecast(system, [], on=START, horizon_days=DAYS, members=MEMBERS, seed=1, future=future)


def shares(made: engine.Forecast) -> dict[str, np.ndarray]:
    """Give each flow of nitrogen as a share of what the feed brought, per member."""
    total = made.columns["n_feed"][FROM:].sum(axis=0)
    return {n: made.columns[n][FROM:].sum(axis=0) / total for n in ("n_fish", "n_plants", "n_gas", "n_solids_out")}


def checks() -> list[Check]:
    """Hold published shares against a media and a raft loop of leafy greens on a balanced ration."""
    media = shares(run("media", 90.0, 3.0, "pak_choi", 25.0))
    raft = shares(run("raft", 60.0, 3.0, "lettuce_loose", 25.0))
    taken = "Nile tilapia at 27 degC and leafy greens taken"
    return [
        Check("N1", "Share of feed nitrogen kept by fish", "%", (20, 30), 100 * media["n_fish"],
              "Kasozi et al. 2021, Ann. Microbiol. (review, citing Schreier 2010 and Krom 1995)",
              blind=False, note="of nitrogen eaten; the model gets it from body nitrogen and feed conversion"),
        Check("N2", "Media bed: share of feed nitrogen kept by pak choi", "%", (34.4, 34.4), 100 * media["n_plants"],
              "Hu et al. 2015, Bioresour. Technol. 188:92 (figure from memory)",
              note=f"30 g of feed per m2 and day; {taken}"),
        Check("N3", "Media bed: share kept by fish and plants", "%", (44.7, 50.9),
              100 * (media["n_plants"] + media["n_fish"]),
              "Zou et al. 2016, Bioresour. Technol. (pH 6.0 to 9.0)", note=f"30 g of feed per m2 and day; {taken}"),
        Check("N4", "Raft: share kept by fish and plants", "%", (33, 60), 100 * (raft["n_plants"] + raft["n_fish"]),
              "Wongkiew et al. 2017 and 2018, Int. Biodeterior. Biodegr. (figures from memory)",
              note=f"20 g of feed per m2 and day; {taken}"),
    ]  # fmt: skip
