"""Two futures of the same members: nothing changed is no difference, and what is changed moves what it should."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.fit import fit
from rillbed.garden.change import parse_change
from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.whatif import WORST, compare

START = date(2031, 4, 1)
ON = START + timedelta(days=3)


@pytest.fixture(scope="module")
def loop():
    return System.make({
        "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "startup_path": "running",
        "tanks": [{"name": "tank", "volume_l": 900}], "feed": "pellet_32",
        "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}],
        "started_on": START, "water_temp_c": [24.0] * 12,
    })  # fmt: skip


@pytest.fixture(scope="module")
def log():
    payload = {"species": "nile_tilapia", "count": 12, "weight": {"value": 60, "unit": "g"}, "group": "fish"}
    return [LogEntry.make({
        "uuid": "22222222-2222-4222-8222-222222222222", "at": "2031-04-02T09:00:00Z", "kind": "fish_in",
        "payload": payload,
    })]  # fmt: skip


@pytest.fixture(scope="module")
def asked(loop, log):
    known = fit(loop, log, on=ON, members=24)

    def ask(text, days=28):
        return compare(loop, log, parse_change(text), ON, posterior=known, horizon_days=days, members=24)

    return ask


def effect(answer, column):
    return next(one for one in answer.effects if one.column == column)


def test_no_change_is_no_difference_in_any_member(asked):
    same = asked("name = 'Nothing'")
    assert len(same.effects) > 8
    for item in same.effects:
        assert (item.difference.low, item.difference.high, item.more, item.less) == (0.0, 0.0, 0.0, 0.0)


def test_fewer_feedings_lower_ammonia_and_growth_in_every_member(asked):
    less = asked("feed_share = 0.5")
    for column in ("feed_g_day", "fish_weight_g", "tan_mg_l"):
        assert effect(less, column).less == 1.0
    fed = effect(less, "feed_g_day")
    assert fed.changed.middle == pytest.approx(0.5 * fed.planned.middle, rel=0.15)


def test_a_holiday_acts_on_its_days_alone(asked):
    away = asked("[[away]]\nfirst = 2031-04-12\nlast = 2031-04-17")
    feed = {week.on: week.difference.middle for week in away.weeks["feed_g_day"]}
    assert feed[ON + timedelta(days=7)] == 0.0
    total = effect(away, "feed_g_day")
    # Where the water is bad in those days the fish would have got nothing anyhow.
    assert total.more == 0.0
    assert total.less > 0.8
    assert total.difference.middle == pytest.approx(-6 / 28 * total.planned.middle, rel=0.4)


def test_hours_without_air_between_two_weeks_are_shown_and_what_hardly_moves_is_no_change(asked):
    cut = asked('[[log]]\non = 2031-04-09\nkind = "outage"\npayload = { until = "2031-04-09T20:00:00Z" }')
    oxygen = effect(cut, "o2_min_mg_l")
    assert oxygen.less > 0.5
    assert min(week.changed.low for week in cut.weeks["o2_min_mg_l"]) == pytest.approx(oxygen.changed.low, rel=0.1)
    days = [week.on for week in cut.weeks["o2_min_mg_l"]]
    assert date(2031, 4, 9) in days
    assert days == sorted(days)
    warm = effect(cut, "temp_c")
    assert (warm.more, warm.less) == (0.0, 0.0)


def test_the_same_luck_makes_the_difference_narrower_than_either_future(asked):
    more = asked("feed_share = 1.1")
    weight = effect(more, "fish_weight_g")
    width = {name: getattr(weight, name).high - getattr(weight, name).low for name in ("planned", "difference")}
    assert width["difference"] < 0.5 * width["planned"]


def test_more_fish_and_another_bed_show_at_their_end(asked):
    payload = '{ species = "nile_tilapia", count = 6, weight = { value = 60, unit = "g" } }'
    more = asked(f'[[log]]\non = 2031-04-10\nkind = "fish_in"\npayload = {payload}')
    assert effect(more, "fish_count").difference.middle == pytest.approx(6.0, abs=0.01)
    warm = asked("system = { heater_set_c = 28 }")
    assert effect(warm, "temp_c").difference.middle > 2.0


def test_a_change_that_is_over_or_a_time_too_short_is_named(asked):
    with pytest.raises(GardenError, match="must be after"):
        asked("on = 2031-04-02\nsystem = { heater_set_c = 25 }")
    with pytest.raises(ValueError, match="horizon_days: 3"):
        asked("", days=3)


def test_weeks_tell_the_same_as_the_two_runs(asked):
    less = asked("feed_share = 0.5")
    for column in WORST:
        worst = effect(less, column)
        ends = [week.planned.middle for week in less.weeks[column]]
        assert np.isfinite(ends).all()
        assert worst.what == "worst"
    assert less.weeks["no3_mg_l"][0].on == ON
    assert less.weeks["no3_mg_l"][-1].on == ON + timedelta(days=28)
