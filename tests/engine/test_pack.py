"""From the set-up to the numbers of the steps: what a dose brings, what stands in for the unknown, what is carried."""

from dataclasses import fields
from datetime import date
from types import SimpleNamespace

import pytest

from rillbed import facts
from rillbed.engine import pack
from rillbed.engine.inputs import Loop
from rillbed.garden.system import Bed, SourceWater, System, Tank


def dose(substance, grams=None, ml=None, strength=None, density=None):
    return pack.dose_grams(
        SimpleNamespace(substance=substance, grams=grams, ml=ml, strength_pct=strength, density_g_ml=density)
    )


def system(**more):
    plain = {"latitude_deg": 40.0, "longitude_deg": -4.0, "place": "indoors", "started_on": date(2025, 4, 1)}
    return System(name="t", tanks=(Tank(name="tank", volume_l=1000),), **(plain | more))


def test_ammonia_solution_brings_its_alkalinity():
    # 25 mL of 10 % ammonia at 0.9576 g/mL for 2 mg/L N in 1000 L: 25 * 0.9576 * 0.1 * 14.007 / 17.031 = 1.97 g
    brought = dose("ammonia_solution", ml=25.0, strength=10.0)
    assert brought["tan"] == pytest.approx(25 * 0.9576 * 0.1 * 14.007 / 17.031, rel=1e-3)
    assert brought["alk"] == pytest.approx(brought["tan"] / 14.007, rel=1e-3)


def test_a_stronger_solution_is_lighter_and_brings_more():
    weak, strong = (dose("ammonia_solution", ml=10.0, strength=s) for s in (10.0, 25.0))
    assert strong["tan"] / weak["tan"] == pytest.approx(2.5 * 0.907 / 0.9576, rel=1e-3)


def test_salt_brings_chloride_and_no_alkalinity():
    brought = dose("ammonium_chloride", grams=7.6)  # 7.6 * 14.007 / 53.49 and 7.6 * 35.45 / 53.49
    assert brought["tan"] == pytest.approx(1.990, abs=0.001)
    assert brought["cl"] == pytest.approx(5.037, abs=0.001)
    assert "alk" not in brought


def test_organic_nitrogen_is_still_to_come():
    brought = dose("fish_emulsion", grams=10.0)
    assert brought["organic"] == pytest.approx(0.5, rel=0.01)
    assert brought["tan"] < 0.01
    assert {"p", "k"} <= set(brought)
    assert dose("pellet_32", grams=10.0)["organic"] == pytest.approx(0.512)


def test_a_base_brings_its_ion_and_its_alkalinity_in_one_proportion():
    brought = dose("potassium_bicarbonate", grams=100.1)
    assert brought == {"k": pytest.approx(39.09, rel=1e-3), "alk": pytest.approx(1.0, rel=1e-3)}


def test_what_is_in_no_table_is_refused():
    with pytest.raises(ValueError, match="substance: 'gin' is in no table"):
        dose("gin", grams=1.0)


def test_every_number_of_the_loop_is_set(monkeypatch):
    seen = {}
    monkeypatch.setattr(pack, "Loop", lambda **values: seen.update(values) or Loop(**values))
    pack.loop_of(system())
    assert set(seen) == {field.name for field in fields(Loop)}


def test_what_stands_in_for_the_unknown_is_named():
    known = SourceWater(alkalinity_meq_l=3.1, ca_mg_l=77.0)
    loop = pack.loop_of(system(source_water=known))
    assert loop.source.alk == 3.1
    assert loop.source.ions["ca"] == 77.0
    assert loop.source.ions["na"] == facts.choice("source_water.na_mg_l")
    named = pack.assumed(system(source_water=known))
    assert "source_water.na_mg_l" in named
    assert "feed.protein_pct" in named
    assert "source_water.ca_mg_l" not in named
    assert set(named) <= facts.choices().keys()


def test_a_bed_of_known_medium_carries_by_its_surface():
    def bed(**more):
        return pack.nitrifying_m2(system(beds=(Bed(name="b", area_m2=2.0, **more),)))

    walls = pack.nitrifying_m2(system())
    clay = bed(kind="media", medium="expanded_clay", depth_cm=25.0)
    assert clay - walls == pytest.approx(2.0 * 0.25 * facts.media()["expanded_clay"].surface_m2_m3)
    assert walls < bed(kind="raft") < bed(kind="media")


def test_an_unknown_species_is_an_error():
    with pytest.raises(KeyError):
        pack.fish_of("no_such_fish")


def test_chloramine_in_source_water_comes_in_as_ammonia():
    tap = System(name="t", latitude_deg=40.0, place="indoors", tanks=(Tank(name="tank", volume_l=100),),
                 started_on=date(2025, 4, 1), source_water=SourceWater(chloramine_mg_l=3.0))  # fmt: skip
    assert pack.source_water(tap).tan == pytest.approx(3.0 * 14.007 / 70.9, rel=1e-3)
    assert pack.source_water(tap.model_copy(update={"source_water": SourceWater()})).tan == 0.0
