from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.plan.advice import Urgency
from rillbed.plan.outlook import outlook
from rillbed.plan.today import today
from rillbed.words import sentence
from rillbed.words.plain import to_json

SPECIES = "nile_tilapia"


def entry(number, kind, payload, days):
    at = datetime(2031, 4, 1, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=days, minutes=number)
    return LogEntry.make({"uuid": UUID(int=number + 1), "at": at, "kind": kind, "payload": payload})


def read(number, quantity, low, high, days):
    payload = {"quantity": quantity, "unit": "mg/L", "basis": "n", "low": low, "high": high}
    return entry(number, "reading", payload, days)


FISH = entry(0, "fish_in", {"species": SPECIES, "count": 20, "weight": {"value": 40, "unit": "g"}, "group": "A"}, 1)


@pytest.fixture
def running(system):
    return system.model_copy(update={"startup_path": "running"})


def codes(answer):
    return [item.code for item in answer.advice]


def test_fish_are_fed_a_share_of_the_models_ration_at_every_meal(running, made, on):
    answer = today(running, [FISH], made(feed_g_day=np.full((201, 100), 18.0)), on)
    portion = answer.rations[0]
    assert portion.per_day_g == pytest.approx(18.0)
    assert portion.per_meal_g == pytest.approx(9.0)
    # 50 g a fish in the members, 20 fish.
    assert portion.biomass_g == pytest.approx(1000.0)
    assert answer.advice[codes(answer).index("feed.ration")].amount == pytest.approx(9.0)


def test_fresh_readings_decide_the_ration_rather_than_what_members_believe_about_the_water(running, made, on):
    # Half of the members believe in foul water and would feed nothing.
    believed = np.where(np.arange(100) % 2, 0.0, 18.0) * np.ones((201, 1))
    futures = made(feed_g_day=believed, full_ration_g_day=20.0, o2_min_mg_l=6.0)
    unread = today(running, [FISH], futures, on)
    assert unread.rations[0].per_day_g == 0.0
    clear = [read(1, "tan", 0.0, 0.05, 19), read(2, "no2", 0.0, 0.05, 19)]
    assert today(running, [FISH, *clear], futures, on).rations[0].per_day_g == pytest.approx(20.0)
    old = [read(1, "tan", 0.0, 0.05, 8), read(2, "no2", 0.0, 0.05, 19)]
    assert today(running, [FISH, *old], futures, on).rations[0].per_day_g == 0.0
    # A worst value between 0.75 and 1 times the limit of 1 mg/L takes a share: (1.5 - 0.9) / 0.75.
    near = [read(1, "tan", 0.5, 0.9, 19), read(2, "no2", 0.0, 0.05, 19)]
    assert today(running, [FISH, *near], futures, on).rations[0].per_day_g == pytest.approx(20.0 * 0.8)


def test_what_was_fed_today_is_not_fed_again(running, made, on):
    def fed(grams):
        feed = entry(5, "feeding", {"feed": feed_id(), "amount": {"value": grams, "unit": "g"}}, 20)
        return today(running, [FISH, feed], made(feed_g_day=18.0), on)

    assert "feed.done" in codes(fed(18.0))
    half = fed(12.0)
    assert half.advice[codes(half).index("feed.ration")].amount == pytest.approx(6.0)


def feed_id():
    from rillbed import facts

    return sorted(facts.feeds())[0]


def test_ammonia_surely_over_the_limit_stops_feed_and_comes_first(running, made, on):
    answer = today(running, [FISH, read(1, "tan", 4.0, 8.0, 20), read(2, "no3", 5, 10, 20)], made(), on)
    assert {"feed.stop", "warn.tan"} <= set(codes(answer))
    assert "feed.ration" not in codes(answer)
    assert answer.verdict.code == "verdict.urgent"


@pytest.mark.parametrize(
    ("quantity", "low", "high", "stops"),
    [
        # General line, FAO 589 section 7.3: toxic above 1 mg/L; the species row alone (2 mg/L) would let it pass.
        ("tan", 0.75, 1.0, False),
        ("tan", 0.75, 1.5, True),
        ("tan", 0.0, None, True),
        # 1 mg/L of the nitrite ion is 0.304 mg/L as N.
        ("no2", 0.0, 0.30, False),
        ("no2", 0.0, 0.31, True),
        ("no2", 2.0, None, True),
    ],
)
def test_the_worst_value_of_a_reading_stops_feed_at_the_stricter_limit(running, made, on, quantity, low, high, stops):
    assert facts.species()[SPECIES].tan_max_mg_l > 1.0
    answer = today(running, [FISH, read(1, quantity, low, high, 20)], made(), on)
    assert ("feed.stop" in codes(answer)) is stops
    warned = {"warn.tan", "warn.nitrite"} & set(codes(answer))
    assert bool(warned) is stops
    # A reading over the limit is due again on the next day, one below it is not.
    next_day = today(running, [FISH, read(1, quantity, low, high, 20)], made(), on + timedelta(days=1))
    assert (quantity in {item.quantity for item in next_day.readings_due}) is stops


def test_a_kit_too_coarse_for_a_species_is_named_but_does_not_starve_it(running, made, on):
    # Rainbow trout: 0.3 mg/L of the ion is 0.091 as N; the lowest step of many kits reaches beyond.
    trout = entry(0, "fish_in", {"species": "rainbow_trout", "count": 9, "weight": {"value": 90, "unit": "g"}}, 1)
    lowest = today(running, [trout, read(1, "no2", 0.0, 0.125, 20)], made(temp_c=14.0), on)
    advice = lowest.advice[codes(lowest).index("feed.ration")]
    assert "feed.kit_coarse" in {item.code for item in advice.reasons}
    seen = today(running, [trout, read(1, "no2", 0.02, 0.125, 20)], made(temp_c=14.0), on)
    assert "feed.stop" in codes(seen)


def test_safety_order_holds_for_every_list(running, made, on):
    log = [FISH, read(1, "tan", 4.0, 8.0, 20), entry(2, "reading", {"quantity": "ph", "unit": "", "value": 6.0}, 20)]
    answer = today(running, log, made(o2_min_mg_l=1.5), on)
    ranks = [item.urgency for item in answer.advice]
    assert ranks == sorted(ranks)
    assert ranks[0] == Urgency.OXYGEN
    assert "warn.ph_low" in codes(answer)


def test_readings_fall_due_and_a_fresh_one_clears_them(running, made, on):
    stale = today(running, [FISH, read(1, "no3", 5, 10, 2)], made(), on)
    fresh = today(running, [FISH, read(1, "no3", 5, 10, 20)], made(), on)
    assert "no3" in {item.quantity for item in stale.readings_due}
    assert "no3" not in {item.quantity for item in fresh.readings_due}


def test_room_waits_for_the_bacteria_and_every_advice_can_be_said(system, made, on):
    starting = today(system, (), made(completion=np.linspace(20, 60, 100)), on)
    assert starting.room is None
    assert "plant.batch" not in codes(starting)
    for item in starting.advice:
        assert sentence(item).title
    assert '"basis": "prior"' in to_json(starting)
    assert any(item.code == "note.prior" for item in starting.notes)


def test_outlook_rows_are_the_quantiles_of_the_columns(made, on):
    spread = np.tile(np.arange(100.0), (201, 1))
    table = outlook(made(no3_mg_l=spread), on, timedelta(days=30))
    band = table.rows[0].bands["no3_mg_l"]
    assert (band.low, band.middle, band.high) == (9.0, 49.0, 89.0)
    assert len(table.rows) == 7


def test_base_comes_before_plants_and_counts_what_the_next_dose_will_use(system, made, on):
    def alkalinity(low):
        return entry(8, "reading", {"quantity": "alkalinity", "unit": "meq/L", "low": low, "high": low + 0.4}, 20)

    futures = made(completion=np.linspace(20, 60, 100), co2_mg_l=5.0)
    # Nothing dosed yet: the first 2 mg/L as N from a salt use 0.286 meq/L (two equivalents per mole).
    assert "base.dose" in codes(today(system, [alkalinity(1.25)], futures, on))
    assert "base.dose" not in codes(today(system, [alkalinity(1.3)], futures, on))


def test_all_readings_due_are_one_job_that_says_what_each_is_for(running, made, on):
    answer = today(running, [FISH, read(1, "no3", 5, 10, 2)], made(), on)
    (job,) = [item for item in answer.advice if item.code == "read.due"]
    said = sentence(job)
    assert said.title == "Test ammonia, nitrite, pH, alkalinity and nitrate"
    text = "\n".join(said.reasons).replace("\N{NO-BREAK SPACE}", " ")
    assert "Nitrate: last read on 3 Apr, due every" in text
    assert "Not read yet: ammonia, nitrite, pH and alkalinity." in text
    for item in answer.readings_due:
        assert sum(item.quantity in reason.values["quantities"] for reason in job.reasons) == 2


def test_what_is_done_for_today_is_not_counted_as_something_to_do(running, made, on):
    fed = entry(5, "feeding", {"feed": feed_id(), "amount": {"value": 30, "unit": "g"}}, 20)
    tests = [read(n, name, 0.0, 0.1, 20) for n, name in enumerate(("tan", "no2", "no3"), 6)]
    tests += [entry(11, "reading", {"quantity": "ph", "unit": "", "value": 7.0}, 20)]
    tests += [entry(12, "reading", {"quantity": "alkalinity", "unit": "meq/L", "value": 2.0}, 20)]
    futures = made(feed_g_day=18.0, full_ration_g_day=18.0)
    answer = today(running.model_copy(update={"beds": ()}), [FISH, fed, *tests], futures, on)
    assert codes(answer) == ["feed.done"]
    assert answer.verdict.code == "verdict.calm"


def test_a_ration_for_fry_is_logged_as_it_was_weighed(running, made, on):
    answer = today(running.model_copy(update={"feed": feed_id()}), [FISH], made(feed_g_day=0.0731), on)
    meal = answer.advice[codes(answer).index("feed.ration")]
    LogEntry.make({"uuid": UUID(int=9), "at": datetime(2031, 4, 21, tzinfo=ZoneInfo("UTC")), **meal.entry})
    assert meal.entry["payload"]["amount"]["value"] == pytest.approx(0.0731 / 2, rel=0.01)


def test_entries_before_the_start_and_a_loop_without_fish_are_pointed_out(running, made, on):
    notes = {item.code: item.values for item in today(running, [], made(), on).notes}
    assert "note.no_fish" in notes
    early = entry(3, "feeding", {"feed": feed_id(), "amount": {"value": 5, "unit": "g"}}, -9)
    notes = {item.code: item.values for item in today(running, [FISH, early], made(), on).notes}
    assert notes["note.before_start"]["count"] == 1
    assert "note.no_fish" not in notes


def test_fish_that_the_water_holds_back_are_told_from_fish_that_are_full(running, made, on):
    def limits(**columns):
        return [item.code for item in today(running, [FISH], made(**columns), on).rations[0].limits]

    assert "feed.held" in limits(feed_g_day=12.0, full_ration_g_day=18.0)
    assert "feed.held" not in limits(feed_g_day=17.5, full_ration_g_day=18.0)
    # Where the water leaves them nothing that is said first, and not that they can use nothing.
    assert limits(feed_g_day=0.0, full_ration_g_day=18.0)[0] == "feed.held"
    assert "feed.growth" not in limits(feed_g_day=0.0, full_ration_g_day=18.0)
    assert limits(feed_g_day=0.0, full_ration_g_day=0.0)[0] == "feed.growth"
