from datetime import date

import pytest

from rillbed import facts
from rillbed.garden.system import System
from rillbed.plan import outage
from rillbed.plan.outage import Shoal, Tank, outlook

ON = date(2031, 5, 1)


@pytest.fixture
def system():
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "outdoors",
            "tanks": [{"name": name, "volume_l": 1000} for name in "abcd"],
            "started_on": date(2031, 4, 1),
        }
    )


# Invented after an account of a cut of eight hours: two tanks of a thousand fingerlings, two with few big fish.
DENSE = [Tank(name, 1000.0, 1.25, (Shoal("channel_catfish", 500, 20.0),)) for name in "ab"]
SPARSE = [Tank("c", 1000.0, 1.25, (Shoal("channel_catfish", 4, 600.0),)),
          Tank("d", 1000.0, 1.25, (Shoal("rainbow_trout", 3, 300.0),))]  # fmt: skip


def test_the_dense_tanks_come_first_and_get_more_air(system):
    answer = outlook(system, (), ON, tanks=[*SPARSE, *DENSE], temp_c=18.0)
    assert [tank.name for tank in answer.tanks][:2] == ["a", "b"]
    first, last = answer.tanks[0], answer.tanks[-1]
    assert first.first_minutes < 0.5 * last.first_minutes
    assert first.air.air_l_min > last.air.air_l_min
    air = [act.tank for act in answer.acts if act.code == "air"]
    assert set(air[:2]) == {"a", "b"}


def test_seven_hours_fifty_kill_in_the_dense_tanks_only(system):
    # As found there: 271 dead of the fingerlings, none in the sparse tanks.
    cut = 470.0
    sparse = [Tank("c", 1000.0, 1.25, (Shoal("channel_catfish", 1, 600.0),))]
    answer = outlook(system, (), ON, tanks=[*sparse, DENSE[0]], temp_c=18.0)
    at_night = {tank.name: max(i.critical.middle for i in tank.lasts) for tank in answer.tanks}
    assert at_night["a"] < cut < at_night["c"]


def test_feeding_warmth_and_night_shorten_the_time(system):
    def least(temp):
        tank = outlook(system, (), ON, tanks=DENSE[:1], temp_c=temp).tanks[0]
        return {(item.case, item.fed): item.critical for item in tank.lasts}

    cool, warm = least(18.0), least(26.0)
    for case in ("day", "night"):
        assert cool[case, True].middle < cool[case, False].middle
    assert cool["night", False].middle < cool["day", False].middle
    assert all(warm[key].middle < cool[key].middle for key in cool)


def test_the_cautious_end_is_the_shortest_and_stress_comes_before_death(system):
    tank = outlook(system, (), ON, tanks=DENSE[:1], temp_c=24.0).tanks[0]
    for item in tank.lasts:
        assert item.critical.cautious <= item.critical.middle <= item.critical.hopeful
        assert item.stress.middle <= item.critical.middle


def test_without_a_surface_and_with_all_known_it_is_oxygen_over_use():
    # 10 kg of fish at 200 mg/kg/h in a closed cubic metre, 7.5 down to 2 mg/L: 2.75 h (worked by hand).
    from rillbed.science.aeration import hours_until

    tank = Tank("t", 1000.0, 0.0, (Shoal("nile_tilapia", 20, 500.0),))
    use = tank.use_mg_l_h(28.0, fed=False)
    # Nitithamyong 1988: 82 mg/kg/h at 500 g and 28 degC, worked out in print as 81.6.
    assert use == pytest.approx(0.82, abs=0.01)
    assert float(hours_until(7.5, 2.0, 7.8, 0.0, 2.0)) == pytest.approx(2.75)


@pytest.mark.parametrize(
    ("species", "weight", "temp", "fed", "mg_kg_h"),
    [
        ("channel_catfish", 50.0, 26.0, False, 447.0), ("channel_catfish", 202.0, 26.0, False, 345.0),
        ("channel_catfish", 101.0, 26.0, True, 623.0), ("nile_tilapia", 100.0, 28.0, False, 143.0),
        ("yellow_perch", 50.0, 22.0, False, 165.0), ("bluegill", 50.0, 25.0, False, 170.0),
        ("largemouth_bass", 250.0, 25.0, False, 109.0), ("goldfish", 20.0, 25.0, False, 154.0),
    ],
)  # fmt: skip
def test_use_against_the_measured(species, weight, temp, fed, mg_kg_h):
    # Andrews & Matsuda 1975; Deslauriers and co-workers 2017; Yamanaka and co-workers 2013. Catfish is a fit: 7 %.
    tank = Tank("t", 1000.0, 0.0, (Shoal(species, 1000.0 / weight, weight),))
    assert tank.use_mg_l_h(temp, fed=fed) == pytest.approx(mg_kg_h / 1000.0, rel=0.07)


def test_battery_air_carries_what_it_is_sized_for(system):
    from rillbed.science.aeration import field_g_h, stone_g_h
    from rillbed.science.oxygen import saturation_mg_l

    tank = outlook(system, (), ON, tanks=DENSE[:1], temp_c=24.0).tanks[0]
    value = facts.value
    standard = stone_g_h(tank.air.air_l_min, value("aeration.transfer_share"))
    hold = facts.species()["channel_catfish"].do_min_mg_l
    given = field_g_h(
        standard, 24.0, saturation_mg_l(24.0, 0.99977), hold, value("aeration.tank_water"),
        value("aeration.tank_saturation"), value("aeration.fouling"),
    )  # fmt: skip
    assert float(given) == pytest.approx(tank.air.need_g_h, rel=1e-3)
    assert tank.air.battery_ah == pytest.approx(tank.air.watts * 12.0 / 12.0 / 0.5)


def test_acts_come_in_order_and_half_of_the_time_is_kept(system):
    answer = outlook(system, (), ON, tanks=[*DENSE, *SPARSE], temp_c=24.0)
    assert [act.by_minutes for act in answer.acts] == sorted(act.by_minutes for act in answer.acts)
    assert answer.acts[0].code == "stop_feed"
    air = next(act for act in answer.acts if act.code == "air")
    assert air.by_minutes <= 0.5 * answer.tanks[0].first_minutes + 1e-9
    cautions = {code for act in answer.acts for code in act.cautions}
    assert {"electricity", "generator.outdoors"} <= cautions
    thin = next(act for act in answer.acts if act.code == "thin")
    assert thin.why[0].values["from_tank"] in {"a", "b"}


def test_heat_ahead_takes_trout_out_the_day_before(system):
    # Invented after an account of a summer: air to 47, water 25 in the morning, trout dead by the evening.
    answer = outlook(system, (), ON, tanks=SPARSE, temp_c=24.0, days_ahead=[(22.0, 34.0), (30.0, 47.0), (28.0, 43.0)])
    said = [{item.code for item in day.advice if item.values.get("species") == "rainbow_trout"} for day in answer.warm]
    assert "warm.take_out" in said[1]
    assert "warm.no_feed" in said[1]
    assert answer.warm[1].water_c > answer.warm[0].water_c
    assert answer.warm[1].water_peak_c < 47.0
    assert any(item.code == "warm.no_ice" for item in answer.warm[1].advice)


def test_mild_days_ask_for_nothing(system):
    light = [Tank("c", 1000.0, 1.25, (Shoal("goldfish", 3, 20.0),))]
    answer = outlook(system, (), ON, tanks=light, temp_c=20.0, days_ahead=[20.0, 20.0])
    assert [day.advice for day in answer.warm] == [(), ()]


def test_an_empty_loop_says_so_and_nothing_to_do(system):
    answer = outlook(system, (), ON)
    assert answer.acts == ()
    assert "outage.no_fish" in {note.code for note in answer.notes}


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"temp_c": 55.0}, "temp_c = 55"),
        ({"oxygen_mg_l": -1.0}, "oxygen_mg_l = -1"),
        ({"days_ahead": [(30.0, 20.0)]}, "air of day 1"),
    ],
)
def test_bad_input_is_named(system, wrong, message):
    with pytest.raises(ValueError, match=message):
        outlook(system, (), ON, tanks=DENSE, **wrong)
    with pytest.raises(ValueError, match="species"):
        Shoal("unicorn", 1, 1.0)


def test_the_spread_without_members_holds_the_tables_ranges():
    unsure = outage.spread()
    assert unsure.weights.sum() == pytest.approx(1.0)
    still = facts.fact("aeration.still_surface")
    assert still.low <= unsure.surface_m_day.min() < unsure.surface_m_day.max() <= still.high


def test_far_from_the_measurement_it_says_so(system):
    cold = outlook(system, (), ON, tanks=DENSE, temp_c=8.0)
    assert "outage.beyond" in {note.code for note in cold.notes}
    near = outlook(system, (), ON, tanks=DENSE, temp_c=24.0)
    assert "outage.beyond" not in {note.code for note in near.notes}
