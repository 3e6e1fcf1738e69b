import pytest

from rillbed import facts
from rillbed.garden.system import Bed


def water_l(**more):
    return 1000.0 * Bed(name="b", area_m2=2.0, water_depth_cm=20.0, **({"kind": "media"} | more)).water_m3


def test_a_media_bed_holds_water_in_its_pores_only():
    assert water_l(medium="expanded_clay") == pytest.approx(400.0 * facts.media()["expanded_clay"].pore_fraction)
    assert water_l() == pytest.approx(400.0 * facts.choice("bed.pore_fraction"))
    assert water_l(medium="expanded_clay", water_fraction=0.3) == pytest.approx(120.0)


def test_a_raft_is_all_water():
    assert water_l(kind="raft") == pytest.approx(400.0)
