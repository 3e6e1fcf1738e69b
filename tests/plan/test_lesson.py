"""The lesson is the model: what it is meant to show must follow from it."""

import pytest

from rillbed.garden.errors import GardenError
from rillbed.plan.lesson import DAYS, RANGES, Settings, lesson


@pytest.fixture(scope="module")
def plain():
    return lesson(Settings())


def test_ammonia_comes_before_nitrite_and_nitrate_stays(plain):
    assert plain.peaks["tan"][0] < plain.peaks["no2"][0]
    assert plain.water["no3"][-1].middle > 5.0
    assert plain.gone is not None
    assert plain.gone > plain.peaks["no2"][0]
    assert len(plain.water["tan"]) == DAYS + 1


def test_seed_and_warmth_save_days():
    ripe, bare = (lesson(Settings(seed=seed)) for seed in ("mature", "none"))
    assert ripe.peaks["no2"][1] < bare.peaks["no2"][1]
    cold, warm = (lesson(Settings(seed="none", temp_c=t)) for t in (14.0, 26.0))
    assert warm.peaks["no2"][0] < cold.peaks["no2"][0]


def test_feed_that_is_not_eaten_rots(plain):
    double = lesson(Settings(feed_g_day=40.0))
    assert double.eaten_g_day < 40.0
    assert double.peaks["tan"][1] > plain.peaks["tan"][1]
    assert lesson(Settings(fish=0)).eaten_g_day == 0.0


def test_a_bed_takes_nitrate_out(plain):
    bare = lesson(Settings(bed_m2=0.0))
    assert bare.water["no3"][-1].middle > plain.water["no3"][-1].middle


def test_both_views_grow_with_feed(plain):
    more = lesson(Settings(feed_g_day=30.0, fish=60))
    assert more.rule_m2.middle == pytest.approx(1.5 * plain.rule_m2.middle)
    assert more.balance_m2.middle > plain.balance_m2.middle
    assert plain.balance_m2.high > plain.rule_m2.high  # nitrogen alone carries more bed than the rule


def test_nothing_fed_is_nothing_there():
    empty = lesson(Settings(feed_g_day=0.0, fish=0, bed_m2=0.0))
    assert empty.peaks["tan"][1] < 0.1
    assert empty.balance_m2.high < 0.1


@pytest.mark.parametrize("name", sorted(RANGES))
def test_a_setting_out_of_its_range_is_refused_by_name(name):
    low, high = RANGES[name]
    for value in (low - 1, high + 1):
        with pytest.raises(GardenError, match=name):
            Settings(**{name: value})


def test_unknown_seed_and_bed_are_refused():
    for wrong in ({"seed": "magic"}, {"bed_kind": "tower"}):
        with pytest.raises(GardenError, match="must be one of"):
            Settings(**wrong)
