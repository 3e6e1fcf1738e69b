"""Crops of the table as the engine grows them."""

import numpy as np
import pytest

from rillbed import facts
from rillbed.engine import plants
from rillbed.engine.cropping import crop_of
from rillbed.engine.future import Future
from rillbed.engine.inputs import Event, Water

PARAMS = {"mu_a": np.ones(1), "n_crit": np.ones(1), "n_lux": np.ones(1)} | {
    f"{e}_{kind}_pct": np.full(1, value)
    for e, pair in {"k": (2.5, 6.0), "ca": (0.5, 1.2), "mg": (0.2, 0.4), "p": (0.3, 0.6)}.items()
    for kind, value in zip(("crit", "lux"), pair, strict=True)
}
RICH = Water(alk=3.0, no3=120.0, ions={e: 300.0 for e in ("k", "ca", "mg", "p", "s", "fe")} | {"na": 15.0, "cl": 20.0})


@pytest.mark.parametrize("crop_id", list(facts.crops()))
def test_every_crop_ends_its_days_at_the_dry_mass_of_the_table(crop_id):
    row, crop = facts.crops()[crop_id], crop_of(crop_id)
    bed = plants.start(crop, "b", 10.0, 0, PARAMS)
    for _ in range(crop.days):
        bed.mass = bed.mass + plants.potential(bed, crop.t_best, crop.light_mol, np.ones(1))
    assert bed.mass[0] / bed.area == pytest.approx(row.total_dm_growth_g_m2_d_mean * row.days_in_bed_default, rel=1e-6)
    assert 0.05 <= crop.relative_per_day <= 0.35
    assert 0.0 < crop.start_g < 20.0


@pytest.mark.parametrize("crop_id", list(facts.crops()))
def test_every_crop_can_grow_on_what_it_takes_up(crop_id):
    bed = plants.start(crop_of(crop_id), "b", 10.0, 0, PARAMS)
    for element in plants.LIMITING:
        low, high = plants.critical(bed, element, PARAMS), plants.luxury(bed, element, PARAMS)
        assert 0.0 < low < high < 0.1, element


def test_lettuce_holds_a_fifth_more_nitrogen_than_its_curve_and_basil_what_the_table_says():
    lettuce = plants.start(crop_of("lettuce_butterhead"), "b", 22.0, 0, PARAMS)
    lettuce.mass = np.full(1, 430.0 / 0.85)  # 4.3 t/ha of shoots on its square metre: 3.086 % (Conversa & Elia 2019)
    assert plants.luxury(lettuce, "n", PARAMS) == pytest.approx(1.2 * 0.03086, rel=1e-3)
    assert plants.critical(lettuce, "n", PARAMS) == pytest.approx(0.03086, rel=1e-3)
    row, basil = facts.crops()["basil"], plants.start(crop_of("basil"), "b", 16.0, 0, PARAMS)
    whole = row.n_uptake_g_m2_per_crop / (row.total_dm_growth_g_m2_d_mean * row.days_in_bed_default)
    assert plants.luxury(basil, "n", PARAMS) == pytest.approx(whole)


def test_a_sampled_critical_content_never_passes_the_luxury_content():
    odd = PARAMS | {"k_crit_pct": np.full(1, 9.0), "n_crit": np.full(1, 5.0)}
    bed = plants.start(crop_of("basil"), "b", 16.0, 0, odd)
    for element in ("k", "n"):
        assert plants.critical(bed, element, odd) < plants.luxury(bed, element, odd)


def grown(play, crop_id, days=30, water=RICH, **more):
    crop = crop_of(crop_id)
    loop = {"volume_m3": 20.0, "bed_area_m2": 1.0, "source": water, "light_mol": (crop.light_mol,) * 12,
            "air_c": (crop.t_best,) * 12}  # fmt: skip
    how = {"members": 20, "events": [Event(0, "plant", {"count": crop.plants_per_m2}, "c")], "crops": {"c": crop}}
    return play(loop, days, free_from=10**6, **(how | more))


@pytest.mark.parametrize("crop_id", ["lettuce_butterhead", "basil", "pak_choi"])
def test_in_rich_water_a_square_metre_takes_what_the_table_says(play, crop_id):
    # plants digest, section 1.6: 0.27, 0.45 and 0.39 g N/m2/day as means over the days in the bed
    row, crop = facts.crops()[crop_id], crop_of(crop_id)
    run = grown(play, crop_id, crop.days, table={"dm_gain": (1.0, 0.0), "n_lux": (1.0, 0.0), "n_crit": (1.0, 0.0)})
    taken = run.columns["n_plants"].astype(float).sum(axis=0) / crop.days
    assert np.median(taken) == pytest.approx(row.n_uptake_g_m2_d_mean, rel=0.25)
    assert run.columns["growth_share"].min() > 0.99


def test_without_potassium_growth_stops_at_the_critical_content(play):
    poor = Water(alk=3.0, no3=120.0, ions=RICH.ions | {"k": 0.0})
    run, rich = grown(play, "basil", water=poor), grown(play, "basil")
    bed = run.beds[0]
    assert (run.columns["plant_dm_g"][-1] < 0.5 * rich.columns["plant_dm_g"][-1]).all()
    np.testing.assert_allclose(bed.held[plants.HELD["k"]] / bed.mass, plants.critical(bed, "k", run.p), rtol=1e-6)


def test_plants_lose_more_water_as_they_close(play):
    run = grown(play, "lettuce_butterhead", 35)
    bare = play({"volume_m3": 20.0, "bed_area_m2": 1.0}, 3, members=20)
    early, late = (run.columns["topup_l_day"][d].mean() for d in (1, 33))
    assert bare.columns["topup_l_day"][1].mean() < early < late
    # 1 m2 at Kc 0.7 to 1.0 of 2 mm/day, 1 m2 of open water at 1.5 mm/day
    assert early == pytest.approx(2.0 * 0.7 + 1.5, rel=0.25)


def test_picking_leaves_the_plants_and_takes_their_share(play):
    events = [Event(0, "plant", {"count": 10}, "c"), Event(20, "cut")]
    crop = crop_of("basil")
    run = grown(play, "basil", events=events)
    before, after = run.columns["plant_dm_g"][[19, 20]]
    assert (after < before * (1.0 - 0.8 * crop.cut_share)).all()
    assert (run.columns["plant_dm_g"][29] > after).all()


def test_a_crop_outlives_its_days_only_when_replanted(play):
    crop = crop_of("radish")
    loop = {"volume_m3": 20.0, "bed_area_m2": 1.0, "source": RICH, "light_mol": (20.0,) * 12,
            "air_c": (18.0,) * 12}  # fmt: skip
    how = {"members": 3, "events": [Event(0, "plant", {"count": 20}, "c")], "crops": {"c": crop}}
    again, once = (play(loop, crop.days + 3, future=Future(replant=r), **how) for r in (True, False))
    assert once.columns["plant_area_m2"][-1].max() == 0.0
    assert again.columns["plant_area_m2"][-1].min() > 0.0
    assert again.columns["plant_dm_g"][-1].max() < once.columns["plant_dm_g"][crop.days - 1].min()
