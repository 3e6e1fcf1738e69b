from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rillbed import facts
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.plan.buffer import alkalinity_advice, base_dose
from rillbed.plan.shelf import BASES, base_for, bringer_of, choose

START = date(2031, 4, 1)
ONE = np.ones(1)


def entry(number, kind, payload, days):
    at = datetime(2031, 4, 1, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=days, minutes=number)
    return LogEntry.make({"uuid": UUID(int=number + 1), "at": at, "kind": kind, "payload": payload})


def alkalinity(low, high, days):
    return entry(1, "reading", {"quantity": "alkalinity", "unit": "meq/L", "low": low, "high": high}, days)


FISH = entry(7, "fish_in", {"species": "nile_tilapia", "count": 9, "weight": {"value": 40, "unit": "g"}}, 1)


def ask(system, log, forecast, on, **changes):
    return alkalinity_advice(system, log, state_at(system, log, on), forecast, on, **({"starting": False} | changes))


def supply(name):
    return choose([name], [name])


@pytest.mark.parametrize(("name", "eq"), [("potassium_bicarbonate", 0.47), ("potassium_hydroxide", 0.038),
                                          ("potassium_carbonate", 0.071)])  # fmt: skip
def test_one_dose_is_capped_by_the_step_of_ph(name, eq):
    # Derived: alkalinity 0.8 eq/m3, CO2 5 mg/L, a step of 0.2.
    given = base_dose(0.8, 3.0, 5.0, ONE, volume_m3=2.0, temp_c=22.0, choice=supply(name))
    assert given.eq_m3 == pytest.approx(eq, rel=0.02)
    assert given.grams == pytest.approx(2.0 * given.eq_m3 / facts.supplements()[name].alkalinity_eq_per_g)
    assert given.ph_at_once - given.ph_before == pytest.approx(0.2, abs=0.005)
    assert given.doses == int(np.ceil(2.2 / given.eq_m3))


def test_a_hydroxide_jumps_first_and_settles_lower_a_bicarbonate_stays():
    strong = base_dose(0.8, 3.0, 5.0, ONE, volume_m3=1.0, temp_c=22.0, choice=supply("calcium_hydroxide"))
    gentle = base_dose(0.8, 3.0, 5.0, ONE, volume_m3=1.0, temp_c=22.0, choice=supply("potassium_bicarbonate"))
    assert strong.ph_before < strong.ph_settled < strong.ph_at_once
    # At unchanged CO2 pH goes with the logarithm of alkalinity.
    assert gentle.ph_settled - gentle.ph_before == pytest.approx(np.log10((0.8 + gentle.eq_m3) / 0.8), abs=0.01)


def test_a_small_gap_is_closed_and_not_overshot_and_a_low_co2_reading_makes_it_smaller():
    small = base_dose(1.1, 1.2, 5.0, ONE, volume_m3=1.0, temp_c=22.0, choice=supply("potassium_bicarbonate"))
    assert (small.eq_m3, small.doses) == (pytest.approx(0.1), 1)
    strong = {"volume_m3": 1.0, "temp_c": 22.0, "choice": supply("potassium_hydroxide")}
    assert base_dose(0.8, 3.0, 5.0, ONE, ph_read=8.0, **strong).grams < base_dose(0.8, 3.0, 5.0, ONE, **strong).grams
    with pytest.raises(ValueError, match="target_meq_l"):
        base_dose(1.2, 1.2, 5.0, ONE, **strong)


def test_the_lower_end_of_the_reading_asks_for_base_and_the_done_entry_is_valid(system, made, on):
    running = system.model_copy(update={"shelf": ("potassium_bicarbonate",)})
    answer = ask(running, [alkalinity(0.5, 1.5, 19)], made(co2_mg_l=5.0), on)[0]
    assert (answer.code, answer.unit) == ("base.dose", "g")
    # 0.7 eq is missing in 1 m3; the step of 0.2 allows 0.5 x (10^0.2 - 1).
    assert answer.amount == pytest.approx(0.5 * (10**0.2 - 1) / 0.0099886, rel=1e-3)
    LogEntry.make({"uuid": UUID(int=9), "at": datetime(2031, 4, 21, tzinfo=ZoneInfo("UTC")), **answer.entry})
    assert ask(running, [alkalinity(0.9, 1.5, 19)], made(co2_mg_l=5.0), on) == ()
    assert ask(running, [alkalinity(0.9, 1.5, 19)], made(co2_mg_l=5.0), on, next_dose_meq_l=0.28)


def test_a_reading_is_moved_on_by_what_the_loop_has_used_since(system, made, on):
    falls = made(alkalinity_meq_l=3.0 - 0.05 * np.arange(201), co2_mg_l=5.0)
    assert ask(system, [alkalinity(1.0, 1.2, 19)], falls, on) == ()
    late = ask(system, [alkalinity(1.0, 1.2, 8)], falls, on)
    assert late[0].reasons[0].values["low"] == pytest.approx(1.0 - 0.05 * 11, abs=1e-5)


def test_without_a_reading_it_asks_for_one_and_with_ammonia_about_it_waits(system, made, on):
    low = made(alkalinity_meq_l=0.3, co2_mg_l=5.0)
    assert ask(system, [], low, on)[0].code == "base.read_first"
    tan = entry(3, "reading", {"quantity": "tan", "unit": "mg/L", "basis": "n", "low": 0.75, "high": 1.5}, 20)
    assert ask(system, [FISH, alkalinity(0.2, 0.5, 19), tan], low, on)[0].code == "base.wait"
    # No animals yet: ammonia in the water is the purpose.
    assert ask(system, [alkalinity(0.2, 0.5, 19), tan], low, on)[0].code == "base.dose"


def test_potassium_and_calcium_bases_take_turns_and_sodium_comes_last(system, on):
    own = ("calcium_hydroxide", "potassium_bicarbonate", "sodium_bicarbonate")
    stocked = system.model_copy(update={"shelf": own})
    potash = entry(1, "dosed", {"substance": "potassium_bicarbonate", "amount": {"value": 9, "unit": "g"}}, 3)
    assert base_for(state_at(stocked, [], on)).id == "potassium_bicarbonate"
    assert base_for(state_at(stocked, [potash], on)).id == "calcium_hydroxide"
    salty = system.model_copy(update={"shelf": ("sodium_bicarbonate",)})
    assert base_for(state_at(salty, [], on)).id == "sodium_bicarbonate"
    bare = base_for(state_at(system, [], on))
    assert (bare.id, bare.owned, bare.reasons[0].code) == ("potassium_bicarbonate", False, "supply.buy")
    assert set(BASES) <= facts.supplements().keys()


def test_a_chelate_must_hold_its_iron_at_this_ph():
    assert bringer_of("fe", ["iron_dtpa"], 6.8).id == "iron_dtpa"
    assert bringer_of("fe", ["iron_dtpa"], 7.8).id == "iron_eddha"
