from datetime import UTC, date, datetime
from statistics import NormalDist
from uuid import UUID

import numpy as np
import pytest

from rillbed import facts
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.plan.crops import (
    best_in_season,
    coming_air_c,
    crop_of,
    dry_gain_g_day,
    easiest_in_season,
    life_days,
    stand_g_m2,
    take_up_g_day,
)
from rillbed.plan.planting import plant_advice, room_reasons, room_title
from rillbed.plan.room import on_the_shelf, room
from rillbed.words import reason

CROP = "lettuce_loose"


def test_a_plants_course_ends_at_the_tables_own_totals():
    row = crop_of("basil")
    total = row.n_uptake_g_m2_per_crop / row.spacing_default_plants_m2
    assert take_up_g_day(row, "n").sum() == pytest.approx(total)
    for name in ("basil", CROP):
        row = crop_of(name)
        dry = row.total_dm_growth_g_m2_d_mean * life_days(row) / row.spacing_default_plants_m2
        # What the seedling brought is the only difference.
        assert 0.95 * dry < dry_gain_g_day(row).sum() < dry


def test_young_lettuce_takes_up_more_nitrogen_for_its_growth_than_old():
    # Conversa et al. 2019, critical content 3.65 W^-0.115 % (constant up to 1 t/ha); a fifth more in rich water.
    row = crop_of(CROP)
    content = (take_up_g_day(row, "n") / dry_gain_g_day(row)).ravel()
    assert content[0] == pytest.approx(1.2 * 0.0365)
    # The share of new growth is (1 - 0.115) of the content there is.
    stand = 0.85 * stand_g_m2(row)[-1, 0] / 100.0
    assert content[-1] == pytest.approx(1.2 * 0.0365 * stand**-0.115 * (1 - 0.115), rel=0.01)
    assert take_up_g_day(row, "n").sum() == pytest.approx(
        row.n_uptake_g_m2_per_crop / row.spacing_default_plants_m2, rel=0.1
    )


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
    # 22 places of a lettuce; loose-leaf stands closer, tomatoes wider.
    for crop in (CROP, "tomato_indet"):
        found = room(system, (), made(), on, crop=crop)
        assert found.free_plants == int(2.0 * crop_of(crop).spacing_default_plants_m2)
        assert found.free_plants / found.places_m2 * facts.value("plants.places_m2") == 44
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


def test_the_season_is_that_of_the_air_not_of_the_water(system, made, on):
    # April in the south of Chile: cool air over water a heater keeps at 28 degC.
    cool = system.model_copy(update={"latitude_deg": -45.0, "longitude_deg": -72.0, "place": "outdoors"})
    air = coming_air_c(cool, on)
    assert air < 16.0
    found = room(cool, (), made(temp_c=28.0), on)
    assert found.crop == best_in_season(air) != best_in_season(28.0)


def climbing(days):
    """Nitrate of a loop whose ration grows: from 3 mg/L, faster and faster from day 20 on."""
    ago = np.maximum(np.arange(days + 1.0) - 20.0, 0.0)
    return 3.0 + 0.1 * ago + 0.002 * ago**2


def test_more_plants_follow_at_the_smallest_step_of_the_kit_that_carries_them(system, made, on):
    kit = Kit(name="n", quantity="no3", unit="mg/L", basis="ion", steps=(0, 10, 20, 40, 80))
    loop = system.model_copy(update={"kits": (kit,), "startup_path": "running"})
    rising = climbing(400)
    futures = made(days=400, no3_mg_l=rising, p_mg_l=50.0, k_mg_l=500.0, mg_mg_l=100.0, fe_mg_l=20.0, ca_mg_l=300.0)
    found = room(loop, (), futures, on, crop=CROP)
    assert found.binding[0].limit == "n"
    said = found.staged.values
    now = min(found.next_batch, found.free_plants)
    assert (found.staged.code, said["count"], said["unit"], said["basis"]) == ("room.staged", now, "mg/L", "ion")
    assert said["step"] in kit.steps
    # By hand: nitrate without the plants of today, and with them replanted at once, in the one cubic metre.
    need = take_up_g_day(crop_of(CROP), "n").ravel()
    left = rising[21:] - now * np.cumsum(np.resize(need, 380))
    least = (kit.steps[kit.steps.index(said["step"]) - 1] + said["step"]) / 2 / 4.4268
    for q, date_ in ((0.2, said["high"]), (0.8, said["low"])):
        # Prior of the kit: a factor with a spread of 0.2; the low tail reads late.
        first = int(np.argmax(left * np.exp(0.2 * NormalDist().inv_cdf(q)) >= least)) + 5 + 1
        assert abs((date.fromisoformat(date_) - on).days - first) <= 2
    # What those plants would find: the member that reads high starts soonest, on the least nitrate.
    soon = (date.fromisoformat(said["low"]) - on).days
    course = (left[soon : soon + len(need)] - 2.0) / np.cumsum(need)
    assert said["more"] == pytest.approx(min(course.min(), found.free_plants - now), abs=1.5)


def running(system):
    return system.model_copy(update={"startup_path": "running"})


def test_nothing_is_staged_where_nitrate_does_not_rise_or_the_beds_are_full(system, made, on):
    flat = made(days=400, no3_mg_l=6.0, p_mg_l=50.0, k_mg_l=500.0, mg_mg_l=100.0, fe_mg_l=20.0, ca_mg_l=300.0)
    assert room(running(system), (), flat, on, crop=CROP).staged is None
    rich = made(days=400, no3_mg_l=200.0, p_mg_l=50.0, k_mg_l=500.0, mg_mg_l=100.0, fe_mg_l=20.0, ca_mg_l=300.0)
    assert room(running(system), (), rich, on, crop=CROP).staged is None


def test_an_element_that_would_hold_back_the_second_batch_is_named_first(system, made, on):
    rising = climbing(400)
    rest = {"p_mg_l": 50.0, "mg_mg_l": 100.0, "fe_mg_l": 20.0, "ca_mg_l": 300.0}
    plenty = room(running(system), (), made(days=400, no3_mg_l=rising, k_mg_l=500.0, **rest), on, crop=CROP).staged
    # Enough potassium for the plants of today and no more.
    falling = 500.0 * np.exp(-0.08 * np.maximum(np.arange(401.0) - 20.0, 0.0)) + 5.5
    short = room(running(system), (), made(days=400, no3_mg_l=rising, k_mg_l=falling, **rest), on, crop=CROP).staged
    assert (short.code, short.values["elements"]) == ("room.staged_after", ("k",))
    assert short.values["step"] == plenty.values["step"]


def test_beds_that_nitrate_outgrows_are_named_with_the_week(system, made, on):
    demand = crop_of(CROP).n_uptake_g_m2_d_mean
    # Two square metres use this much; the supply passes it half-way through the forecast.
    growing = 2.0 * demand * np.arange(201.0) / 100.0
    found = room(system, (), made(n_nitrified=growing, n_gas=0.0), on, crop=CROP).outgrown
    assert found.code == "room.outgrown"
    # A mean of seven days lags by three; looked at weekly from day 20 on.
    assert 103 < (date.fromisoformat(found.values["on"]) - on).days + 20 <= 110
    assert found.values["beds"] == pytest.approx(2.0)
    assert room(system, (), made(n_nitrified=demand, n_gas=0.0), on, crop=CROP).outgrown is None


def test_the_reason_why_the_views_differ_holds_its_figures(system, made, on):
    answer = room(system.model_copy(update={"feed": "pellet_32"}), (), made(feed_g_day=20.0), on, crop=CROP)
    (differ,) = [item for item in room_reasons(answer) if item.code == "room.differ"]
    low, high = answer.rule_band_g_m2_day
    assert differ.values["n_low"] == pytest.approx(low * 0.32 * 0.16)
    assert differ.values["n_high"] == pytest.approx(high * 0.32 * 0.16)
    assert differ.values["demand"] == crop_of(CROP).n_uptake_g_m2_d_mean
    assert "mg/L" not in reason(differ)


def test_nitrate_releases_no_planting_before_the_bacteria_have_proved_themselves(system, made, on):
    rest = {"p_mg_l": 50.0, "k_mg_l": 500.0, "mg_mg_l": 100.0, "fe_mg_l": 20.0, "ca_mg_l": 300.0}
    futures = made(days=400, no3_mg_l=climbing(400), **rest)
    assert room(running(system), (), futures, on, crop=CROP).staged is not None
    starting = room(system, (), futures, on, crop=CROP)
    assert starting.staged is None
    assert starting.notes[0].code == "note.starting"


def test_a_step_that_was_read_already_is_no_sign_for_more(system, made, on):
    rest = {"p_mg_l": 50.0, "k_mg_l": 500.0, "mg_mg_l": 100.0, "fe_mg_l": 20.0, "ca_mg_l": 300.0}
    futures = made(days=400, no3_mg_l=climbing(400), **rest)
    first = room(running(system), (), futures, on, crop=CROP).staged.values["step"]
    payload = {"quantity": "no3", "unit": "mg/L", "basis": "n", "low": first, "high": 2 * first}
    at = datetime(2031, 4, 20, 12, tzinfo=UTC)
    read = LogEntry.make({"uuid": UUID(int=1), "at": at, "kind": "reading", "payload": payload})
    assert room(running(system), [read], futures, on, crop=CROP).staged.values["step"] > first


def test_a_trace_in_a_supply_does_not_make_an_element_plentiful(system):
    def shelf(*items):
        return on_the_shelf(system.model_copy(update={"shelf": items}))

    assert shelf("seaweed_liquid", "potassium_bicarbonate") == {"k"}
    assert shelf("iron_dtpa", "gypsum", "magnesium_sulfate") == {"fe", "ca", "mg"}


def test_the_picture_of_room_is_headed_whatever_comes_out(system, made, on):
    carries = room(system, (), made(no3_mg_l=12.0), on, crop=CROP)
    lacking = room(system, (), made(p_mg_l=0.1, k_mg_l=1.0, no3_mg_l=20.0), on, crop=CROP)
    nothing = room(system, (), made(no3_mg_l=1.0, p_mg_l=0.1), on, crop=CROP)
    said = [reason(room_title(answer)) for answer in (carries, lacking, nothing)]
    assert said[0].startswith("Room for")
    assert said[1].endswith(("enough potassium and phosphorus.", "enough phosphorus and potassium."))
    assert said[2] == "No room for more plants yet."
