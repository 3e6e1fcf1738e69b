import numpy as np
import pytest

from rillbed import facts
from rillbed.plan.crops import best_in_season, crop_of, dry_gain_g_day, easiest_in_season, life_days, take_up_g_day
from rillbed.plan.room import plant_advice, room, room_reasons

CROP = "lettuce_loose"


def test_a_plants_course_ends_at_the_tables_own_totals():
    row = crop_of(CROP)
    total = row.n_uptake_g_m2_per_crop / row.spacing_default_plants_m2
    assert take_up_g_day(row, "n").sum() == pytest.approx(total)
    dry = row.total_dm_growth_g_m2_d_mean * life_days(row) / row.spacing_default_plants_m2
    # What the seedling brought is the only difference.
    assert 0.9 * dry < dry_gain_g_day(row).sum() < dry


def test_next_batch_of_a_constant_store_is_the_store_over_one_plants_need(system, made, on):
    answer = room(system, (), made(no3_mg_l=12.0), on, crop=CROP)
    one = take_up_g_day(crop_of(CROP), "n").sum()
    # 10 g above the floor in 1 m3; other elements are plentiful.
    assert answer.next_batch == int(10.0 / one)
    assert answer.binding[0].limit == "n"


def test_the_element_in_short_supply_is_named_and_a_supplement_lifts_it(system, made, on):
    poor = made(k_mg_l=6.0, no3_mg_l=40.0)
    bare = room(system, (), poor, on, crop=CROP)
    fed = room(system, (), poor, on, crop=CROP, supplemented=frozenset({"k"}))
    assert bare.binding[0].limit == "k"
    assert fed.next_batch > bare.next_batch
    assert fed.supplement_g["k"] > 0.0


def test_an_element_that_is_missing_altogether_is_named_with_the_room_it_would_open(system, made, on):
    bare = room(system, (), made(p_mg_l=0.1, k_mg_l=1.0, no3_mg_l=20.0), on, crop=CROP)
    assert bare.next_batch == 0
    assert set(bare.missing) == {"p", "k"}
    added = room(system, (), made(no3_mg_l=20.0), on, crop=CROP, supplemented=frozenset({"p", "k"}))
    assert bare.next_batch_then == added.next_batch > 0
    advice = plant_advice(bare)
    assert advice.code == "plant.after"
    assert advice.params["count"] == min(added.next_batch, bare.free_plants)


def test_nothing_is_promised_where_nitrogen_is_what_is_missing(system, made, on):
    bare = room(system, (), made(no3_mg_l=1.0, p_mg_l=0.1), on, crop=CROP)
    assert (bare.next_batch, bare.missing, bare.next_batch_then) == (0, (), 0)
    assert plant_advice(bare).code == "plant.none"


def test_more_confidence_means_no_more_plants(system, made, on):
    spread = np.tile(np.linspace(5.0, 40.0, 100), (201, 1))
    sizes = [room(system, (), made(no3_mg_l=spread), on, crop=CROP, confidence=c).next_batch for c in (0.5, 0.7, 0.9)]
    assert sizes[0] > sizes[1] > sizes[2]


def test_feed_rule_is_feed_over_the_published_band(system, made, on):
    answer = room(system, (), made(feed_g_day=20.0), on, crop=CROP)
    low, high = answer.rule_band_g_m2_day
    assert answer.rule_m2 == pytest.approx((20.0 / high, 20.0 / low))


def test_two_square_metres_hold_44_places_and_an_unknown_crop_is_named(system, made, on):
    assert room(system, (), made(), on, crop=CROP).free_plants == 44
    with pytest.raises(ValueError, match="moon_cabbage"):
        room(system, (), made(), on, crop="moon_cabbage")


def test_reasons_cover_both_views(system, made, on):
    codes = [item.code for item in room_reasons(room(system, (), made(), on))]
    assert {"room.next", "room.rule", "room.steady", "room.full"} <= set(codes)


def test_best_crop_is_a_beginners_crop():
    for temp in (12.0, 18.0, 27.0):
        assert facts.crops()[best_in_season(temp)].beginner_rank_1easy_5hard <= 3


def test_kinds_of_the_season_are_easy_and_differ():
    table = facts.crops()
    for temp in (14.0, 20.0, 27.0):
        kinds = easiest_in_season(temp, 5)
        assert len(set(kinds)) == 5
        assert kinds[0] == best_in_season(temp)
        assert len({table[crop].crop_group for crop in kinds[:3]}) >= 2
