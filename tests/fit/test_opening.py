"""What a window begins with, from the log before it: read where there is something to read, open where there is not."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.fit.conftest import KITS, START, entry, loop, reading

from rillbed import facts
from rillbed.engine.state import S
from rillbed.fit.follow import Look
from rillbed.fit.opening import Opening
from rillbed.fit.setting import Setting
from rillbed.garden.kits import Kit
from rillbed.garden.system import SourceWater

BEGIN = 180
SYSTEM = loop(startup_path="running")
K = Kit(name="potassium", quantity="k", unit="mg/L", steps=(0, 2, 5, 10, 20, 40))
FISH = {"species": "nile_tilapia", "count": 10, "weight": {"value": 50, "unit": "g"}, "group": "a"}
IRON = {"substance": "iron_dtpa", "amount": {"value": 10, "unit": "g"}}


def opened(log, system=SYSTEM):
    return Opening.of(system, log, START + timedelta(days=BEGIN))


def held(log, row, system=SYSTEM):
    return next(h for h in opened(log, system).water if h.row == row)


def middling(setting, look):
    """Run the median member from the first day to the window; gives what `look` sees there."""
    c = setting.coordinates()
    run = setting.run(c, np.zeros((len(c.names), 1)), days=BEGIN + 1, looks=[look])
    for d in range(BEGIN + 1):
        run.day(d)
    return run.seen[look]


def test_a_test_shortly_before_tells_and_an_old_one_does_not():
    fish = entry(0, "fish_in", FISH)
    old = reading(100, "k", 40, kit=K)
    new = reading(170, "k", 5, kit=K)
    unread = held([fish], S.K)
    assert held([fish, old], S.K) == unread
    assert held([fish, old, new], S.K).median == pytest.approx(5.0, rel=0.15)
    assert held([fish, old, new], S.K).spread < 0.6 < unread.spread


def test_nitrate_of_a_strip_that_reads_low_is_taken_higher():
    strip = KITS[2].model_copy(update={"kind": "strip"})
    low = facts.priors()["kit_bias_no3_strip"].median
    for kit in (KITS[2], strip):
        system = SYSTEM.model_copy(update={"kits": (kit,)})
        log = [entry(0, "fish_in", FISH), reading(170, "no3", 20, kit=kit)]
        median = held(log, S.NO3, system).median
        expected = 25.0 / (low if kit is strip else facts.priors()["kit_bias"].median)
        assert median == pytest.approx(expected, rel=0.1)


def test_fish_grow_on_what_was_fed_and_less_surely_the_longer_ago():
    full = opened([entry(0, "fish_in", FISH)]).fish[0]
    none = {"feed": "pellet_36", "amount": {"value": 1, "unit": "g"}, "group": "a"}
    starved = opened([entry(0, "fish_in", FISH), *(entry(d, "feeding", none) for d in range(BEGIN))]).fish[0]
    assert 50.0 < starved.grams < 80.0 < full.grams
    weigh = entry(175, "fish_weighed", {"group": "a", "count": 5, "total": {"value": 2000, "unit": "g"}})
    weighed = opened([entry(0, "fish_in", FISH), weigh]).fish[0]
    assert 400.0 < weighed.grams < 430.0
    assert weighed.spread < 0.2 < full.spread


def test_the_weight_grown_to_is_that_of_a_run_from_the_first_day():
    """Middling members of the model, run: clean water, full ration."""
    log = [entry(0, "fish_in", FISH)]
    setting = Setting.of(SYSTEM, log, START + timedelta(days=BEGIN))
    seen = middling(setting, Look(BEGIN, "fish_weight", None, "a"))
    stock = opened(log).fish[0]
    assert np.log(stock.grams / seen[0]) == pytest.approx(0.0, abs=stock.spread)


def test_plants_that_stand_are_as_heavy_as_those_of_a_run_and_cut_ones_lighter():
    planted = entry(150, "planted", {"crop": "lettuce_loose", "count": 20, "bed": "bed", "planting": "p"})
    feed = [entry(0, "fish_in", FISH), planted]
    plenty = SourceWater(alkalinity_meq_l=2.0, k_mg_l=60.0, ca_mg_l=60.0, mg_mg_l=20.0, p_mg_l=15.0, fe_mg_l=3.0)
    system = loop(startup_path="running", source_water=plenty)
    iron = [entry(d, "dosed", IRON) for d in range(140, BEGIN, 4)]
    setting = Setting.of(system, [*feed, *iron], START + timedelta(days=BEGIN))
    seen = middling(setting, Look(BEGIN, "plant_mass", None, "p"))
    stock = opened(feed).plants[0]
    assert stock.count == 20
    assert np.log(seen[0] / stock.grams) == pytest.approx(0.0, abs=1.3 * stock.spread)
    cut = entry(170, "picked", {"planting": "p", "finished": False})
    assert opened([*feed, cut]).plants[0].grams < 0.9 * stock.grams
    gone = entry(170, "picked", {"planting": "p", "finished": True})
    assert opened([*feed, gone]).plants == ()


def test_a_loop_to_which_nothing_happened_is_as_it_was_set_up():
    assert opened([entry(5, "note", {"text": "bought a tank"})], loop()) is None
    on = START + timedelta(days=2000)
    setting = Setting.of(loop(), [], on)
    assert setting.opening is None
    assert setting.start > START
    assert setting.first.startup_path == "fishless"


def test_what_stands_still_as_the_window_begins_goes_on_standing():
    pump = entry(100, "equipment_stopped", {"equipment": "pump"})
    air = entry(100, "equipment_stopped", {"equipment": "air"})
    again = entry(101, "equipment_started", {"equipment": "air"})
    day = START + timedelta(days=BEGIN)
    back = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    dark = entry(BEGIN - 1, "outage", {"until": back})
    found = opened([entry(0, "fish_in", FISH), pump, air, again, dark])
    assert {e.uuid for e in found.stopped} == {pump.uuid, dark.uuid}
    assert {e.at.date() for e in found.stopped} == {day}


def test_a_fishless_start_that_was_never_stocked_is_not_called_running():
    salt = {"substance": "ammonium_chloride", "amount": {"value": 8, "unit": "g"}}
    assert opened([entry(3, "dosed", salt)], loop()).system.startup_path == "fishless"
    assert opened([entry(3, "dosed", salt), entry(60, "fish_in", FISH)], loop()).system.startup_path == "running"
