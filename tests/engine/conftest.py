from dataclasses import replace
from datetime import date

import pytest

from rillbed.engine import priors
from rillbed.engine.inputs import Crop, Feed, Fish, Loop, Water
from rillbed.engine.simulate import Run

# medians and ln-sd of the model specification, written out so that these tests do not move with the tables
TABLE = {
    "mu_a": (0.6, 0.3), "mu_n": (0.54, 0.3), "theta_a": (1.1, 0.0), "theta_n": (1.063, 0.0), "decay": (0.06, 0.35),
    "cap_a0": (0.004, 1.5), "cap_ratio": (0.3, 0.6), "k_tan": (0.6, 0.4), "k_no2": (0.8, 0.6),
    "alk_half_startup": (0.25, 0.5), "alk_half_mature": (0.1, 0.5), "ki_nh3": (1.5, 0.6), "uneaten": (0.03, 0.5),
    "faecal": (0.12, 0.3), "solids_share_media": (0.5, 0.4), "solids_share_raft": (0.15, 0.4), "solids_k": (0.1, 0.4),
    "organic_k": (0.15, 0.4), "coupled_share": (0.12, 0.5), "k_denit": (0.01, 0.7), "respiration": (0.7, 0.3),
    "kla_o2": (20.0, 0.6), "dm_gain": (1.0, 0.25), "et_factor": (1.0, 0.3), "tgc_factor": (1.0, 0.2),
    "fcr_factor": (1.0, 0.12), "fe_loss": (0.08, 0.7), "cap_max": (31.0, 0.4),
    "n_crit": (1.0, 0.15), "n_lux": (1.0, 0.15),
    "k_crit_pct": (2.5, 0.15), "k_lux_pct": (6.0, 0.15), "ca_crit_pct": (0.5, 0.15), "ca_lux_pct": (1.2, 0.15),
    "mg_crit_pct": (0.2, 0.15), "mg_lux_pct": (0.4, 0.15), "p_crit_pct": (0.3, 0.15), "p_lux_pct": (0.6, 0.15),
}  # fmt: skip


# a made-up leafy crop, and a made-up fish for events that do not care which
LEAFY = Crop(
    plants_per_m2=22.0, start_g=0.15, canopy_g_m2_day=12.0, relative_per_day=0.2, days=35, n=0.048, n_curve=None,
    t_low=5.0, t_best=20.0, t_high=32.0, light_mol=17.0, kc_ini=0.7, kc_mid=1.0, cut_share=0.3,
)  # fmt: skip
ANY = {"any": LEAFY, "a": LEAFY, "b": LEAFY}


FISH = Fish(
    tgc=0.8, tgc_at_c=28.0, fcr=1.5, tan_limit=2.0, no2_limit=0.3, cl_guard=0.0, o2_want=5.0, o2_crit=2.0, t_stop=17.0,
    t_low=17.0, t_best=30.0, t_high=38.0, table=(), harvest_g=600.0, end_g=3600.0,
)  # fmt: skip
TAP = Water(
    alk=2.4, no3=1.0, ions={"k": 2.0, "ca": 40.0, "mg": 8.0, "fe": 0.02, "p": 0.05, "s": 8.0, "na": 15.0, "cl": 20.0}
)
PELLET = Feed(protein=0.32, content={}, to_fish={}, dissolved={})
LOOP = Loop(
    volume_m3=1.0, fish_m3=1.0, surface_m2=1.0, bed_area_m2=0.0, media=True, nitrify_area_m2=100.0, mature=0.0,
    source=TAP, feed=PELLET, meals=(8, 17), pressure_atm=1.0, temp_c=(24.0,) * 12, heater_c=None, cools_h=48.0,
    air_c=(22.0,) * 12, light_mol=(17.0,) * 12, et_mm=(2.0,) * 12, open_mm=(1.5,) * 12, bare_kc=0.3,
)  # fmt: skip


def made(loop):
    """Change the made-up loop, its water and its feed by what a test says of them."""
    changes = dict(loop)
    for name, plain in (("source", TAP), ("feed", PELLET)):
        if isinstance(changes.get(name), dict):
            changes[name] = replace(plain, **changes[name])
    if "volume_m3" in changes:
        changes.setdefault("fish_m3", changes["volume_m3"])
    return replace(LOOP, **changes)


@pytest.fixture(scope="session")
def play():
    def _play(loop, days, *, members=50, seed=5, first=0, table=None, kind=Run, free_from=0, centre=False, **how):
        how = {"crops": ANY, "species": {"any": {}, "f": {}}, "start": date(2025, 3, 1)} | how
        how["species"] = {name: replace(FISH, **kind) for name, kind in how["species"].items()}
        params = priors.draw(TABLE | (table or {}), seed, members, first, centre)
        run = kind(made(loop), params, days=days, free_from=free_from, **how)
        for d in range(days):
            run.day(d)
        return run

    return _play
