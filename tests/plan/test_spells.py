"""Days away known ahead: what they do to the ration, before, within and after, and which jobs they bring."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from rillbed.engine.future import Pause
from rillbed.fit import forecast
from rillbed.garden.change import Change
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ahead import rules_ahead, unfitted
from rillbed.plan.away import away
from rillbed.plan.feeding import feed_advice, rations
from rillbed.plan.fish import fish
from rillbed.plan.spells import away_on, carried_back, hand_over, share_on
from rillbed.plan.week import tasks
from rillbed.plan.whatif import changed_rules

START = date(2031, 4, 1)
ON = START + timedelta(days=40)
SYSTEM = System.make({
    "name": "made up", "latitude_deg": 40.0, "place": "indoors", "startup_path": "running", "started_on": START,
    "water_temp_c": [24.0] * 12, "feed": "pellet_32", "tanks": [{"name": "tank", "volume_l": 1500}],
    "beds": [{"name": "bed", "kind": "media", "area_m2": 3.0}],
    "kits": [{"name": "a", "quantity": "tan", "basis": "n", "unit": "mg/L", "steps": [0, 0.5, 1]}],
})  # fmt: skip


def entry(number, kind, payload, day=0):
    at = datetime(2031, 4, 1, 9, tzinfo=UTC) + timedelta(days=day)
    return LogEntry.make({"uuid": UUID(int=number), "at": at, "author": "k", "kind": kind, "payload": payload})


FISH = entry(1, "fish_in", {"species": "nile_tilapia", "count": 20, "weight": "120 g", "group": "fish"})


def spell(first, last, share=0.5, number=2, name="break"):
    told = {"name": name, "first": str(ON + timedelta(days=first)), "last": str(ON + timedelta(days=last))}
    return entry(number, "away", told | {"feed_share": share, "by": "Ann" if share else ""})


def ran(log, days=20):
    known = unfitted(SYSTEM, log, on=ON, members=20)
    rules = rules_ahead(SYSTEM, log, ON)
    return forecast(SYSTEM, log, on=ON, horizon_days=days, members=20, future=rules, posterior=known)


def ration(log):
    (found,) = rations(SYSTEM, log, ran(log), ON)
    return found


def test_the_next_the_present_and_the_last_spell_are_told_apart() -> None:
    log = [spell(20, 25), spell(3, 5, number=3, name="soon"), spell(-9, -4, number=4, name="gone")]
    seen = away_on(log, ON)
    assert (seen.now, seen.next.name, seen.back.name, seen.ahead.name) == (None, "soon", "gone", "soon")
    assert hand_over(seen.next) == ON + timedelta(days=2)
    within = away_on(log, ON + timedelta(days=4))
    assert (within.now.name, within.next.name, within.back) == ("soon", "break", None)
    assert away_on(log, ON + timedelta(days=5 + 15)).back is None, "two weeks, not more"
    assert away_on(log, ON - timedelta(days=30)).ahead is None
    assert [share_on(log, ON + timedelta(days=n)) for n in (2, 3, 5, 6)] == [1.0, 0.5, 0.5, 1.0]


@pytest.mark.parametrize("read", [False, True])
def test_within_a_spell_the_ration_is_its_share_whether_the_water_was_read_or_not(read: bool) -> None:
    base = [FISH]
    if read:
        for n, quantity in enumerate(("tan", "no2")):
            told = {"quantity": quantity, "low": 0, "high": 0, "unit": "mg/L", "basis": "n"}
            base.append(entry(20 + n, "reading", told, day=40))
    plain, half, none = (ration([*base, *more]) for more in ([], [spell(0, 5)], [spell(0, 5, 0.0)]))
    # Fish that get less leave more oxygen, so they could use a little more.
    assert plain.per_day_g / 2 == pytest.approx(half.per_day_g, rel=0.05 if read else 1e-3)
    assert half.per_day_g >= plain.per_day_g / 2 * (1 - 1e-3)
    assert none.per_day_g == 0.0
    assert [one.code for one in half.limits][:1] == ["feed.away"]
    (stop,) = feed_advice((none,), "pellet_32")
    assert (stop.code, stop.kind) == ("feed.stop", "wait")
    assert stop.reasons[0].code == "feed.away_none"


def test_after_a_fast_no_more_is_fed_than_the_bacteria_carry() -> None:
    plain, back = ration([FISH]), [FISH, spell(-20, -1, 0.0)]
    run = ran(back)
    carry = carried_back(back, run, ON, "pellet_32")
    found = ration(back)
    assert carry is not None
    assert found.per_day_g == pytest.approx(carry)
    assert found.per_day_g < 0.8 * plain.per_day_g
    assert found.limits[0].code == "feed.back"
    assert fish(SYSTEM, back, run, ON).days[0].feed_g == pytest.approx(carry)
    assert carried_back([FISH], run, ON, "pellet_32") is None
    assert carried_back([FISH, spell(-20, -1, 1.0)], run, ON, "pellet_32") is None, "fed in full, nothing died back"


def test_the_week_has_the_hand_over_the_days_and_the_return_and_asks_for_no_test_meanwhile() -> None:
    log = [FISH, spell(4, 6), spell(30, 31, 0.0, number=3, name="later")]
    found = tasks(SYSTEM, log, ON, 40)
    at = {(one.code, str(one.values["name"])): one for one in found if "name" in one.values}
    assert at["hand_over", "break"].first == ON + timedelta(days=3)
    assert at["away", "break"].on(ON + timedelta(days=5))
    assert not at["away", "break"].on(ON + timedelta(days=7))
    assert not at["away", "break"].loose
    assert at["prepare", "break"].loose
    assert at["back", "break"].first == ON + timedelta(days=7)
    assert {code for code, name in at if name == "later"} == {"prepare_none", "leave", "away_none", "back"}
    read = {one.first for one in found if one.code == "read"}
    assert read & {ON + timedelta(days=n) for n in (4, 5, 6, 30, 31)} == set()
    assert ON in read


def test_a_week_printed_before_the_forecast_knows_of_a_spell_feeds_its_share_all_the_same() -> None:
    log = [FISH, spell(2, 3, 0.25), spell(4, 4, 0.0, number=3, name="later")]
    stale, fresh = (fish(SYSTEM, told, ran(told), ON) for told in ([FISH], log))
    grams = []
    for answer in (stale, fresh):
        found = tasks(SYSTEM, log, ON, 7, fish=answer)
        grams.append({(one.first - ON).days: one.values["day_g"] for one in found if one.code == "feed"})
    assert grams[0].keys() == grams[1].keys() == {0, 1, 2, 3, 5, 6}
    assert grams[0][2] == pytest.approx(stale.days[2].feed_g / 4)
    assert grams[0][2] == pytest.approx(grams[1][2], rel=1e-3)


def test_days_that_are_asked_about_take_the_place_of_those_planned() -> None:
    log = [FISH, spell(3, 9, 0.25)]
    rules = rules_ahead(SYSTEM, log, ON)
    assert rules.pauses == (Pause(ON + timedelta(days=3), ON + timedelta(days=9), 0.25),)
    asked = {"first": ON + timedelta(days=5), "last": ON + timedelta(days=6), "feed_share": 1.0}
    other = changed_rules(rules, Change.make({"name": "x", "away": [asked]}), SYSTEM, ON)
    shares = [min((p.feed_share for p in other.pauses if p.first <= ON + timedelta(days=n) <= p.last), default=1.0)
              for n in range(2, 11)]  # fmt: skip
    assert shares == [1.0, 0.25, 0.25, 1.0, 1.0, 0.25, 0.25, 0.25, 1.0]
    known = unfitted(SYSTEM, log, on=ON, members=20)
    sheet = away(SYSTEM, log, ON, ON + timedelta(days=3), ON + timedelta(days=9), 0.5, posterior=known, members=20)
    plain = away(SYSTEM, [FISH], ON, ON + timedelta(days=3), ON + timedelta(days=9), 0.5, posterior=known, members=20)
    assert sheet.feed == plain.feed
