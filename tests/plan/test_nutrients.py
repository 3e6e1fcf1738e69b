from dataclasses import replace
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from rillbed import facts
from rillbed.engine import forecast
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.system import System
from rillbed.plan.ahead import startup_future
from rillbed.plan.chloride import chloride_advice, salt, target_mg_l
from rillbed.plan.nutrients import addition, besides, nutrients, supplement_advice, wanting
from rillbed.plan.shelf import choose

START = date(2031, 4, 1)


def entry(number, kind, payload, days):
    at = datetime(2031, 4, 1, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=days, minutes=number)
    return LogEntry.make({"uuid": UUID(int=number + 1), "at": at, "kind": kind, "payload": payload})


def read(number, quantity, low, high, days):
    payload = {"quantity": quantity, "unit": "mg/L", "low": low, "high": high}
    payload |= {"basis": "n"} if quantity in ("no2", "no3", "tan", "p") else {}
    return entry(number, "reading", payload, days)


def fish(species="nile_tilapia"):
    return entry(40, "fish_in", {"species": species, "count": 9, "weight": {"value": 40, "unit": "g"}}, 1)


def named(levels):
    return {level.element: level for level in levels}


def test_a_level_is_the_reading_and_without_one_the_members(system, made, on):
    levels = named(nutrients(system, [read(1, "k", 0.0, 4.0, 19), read(2, "fe", 0.1, None, 19)], made(), on))
    assert (levels["k"].state, levels["k"].mg_l.high) == ("missing", 4.0)
    # Open at the top: at least 0.1, perhaps what the members hold.
    assert levels["fe"].state == "unsure"
    assert (levels["ca"].state, levels["ca"].read_on) == ("present", None)
    old = named(nutrients(system, [read(1, "k", 0.0, 4.0, 1)], made(), on))
    assert old["k"].state == "present"


@pytest.mark.parametrize(
    ("element", "supply", "there", "target", "step"),
    [
        ("k", "potassium_sulfate", 2.0, 20.0, 20.0),
        ("fe", "iron_dtpa", 0.1, 1.0, 2.0),
        ("p", "monopotassium_phosphate", 0.1, 3.0, 2.0),
        ("ca", "gypsum", 5.0, 40.0, 20.0),
        ("mg", "magnesium_sulfate", 1.0, 10.0, 10.0),
    ],
)
def test_grams_close_the_gap_within_one_days_step(system, made, on, element, supply, there, target, step):
    level = named(nutrients(system, [read(1, element, there, there, 19)], made(), on))[element]
    add = addition(level, system.shelf, 1.7, 6.9)
    assert (add.choice.id, add.choice.owned) == (supply, False)
    assert add.rise_mg_l == pytest.approx(min(target - there, step))
    assert add.grams == pytest.approx(
        add.rise_mg_l * 1.7 / (getattr(facts.supplements()[supply], f"{element}_pct") / 100)
    )
    with pytest.raises(ValueError, match="not below"):
        addition(named(nutrients(system, [read(1, element, 199, 199, 19)], made(), on))[element], (), 1.0, 7.0)


def test_two_milligrams_of_iron_in_a_cubic_metre_are_18_grams_of_11_percent_chelate(system, made, on):
    # Derived, worked in the trade's way: litres x mg/L / 1000 / share of iron.
    level = named(nutrients(system, [read(1, "fe", 0.0, 0.0, 19)], made(), on))["fe"]
    add = addition(level, ("iron_dtpa",), 1.0, 6.9)
    assert add.grams * 2.0 / add.rise_mg_l == pytest.approx(18.2, abs=0.05)


def test_what_comes_with_it_is_named(system, made, on):
    level = named(nutrients(system, [read(1, "k", 0.0, 0.0, 19)], made(), on))["k"]
    # K2SO4 holds 0.41 g S for each g K.
    assert besides(addition(level, (), 1.0, 7.0)) == {"s": pytest.approx(20.0 * 18.399 / 44.875)}


def test_one_element_a_day_the_binding_one_first_and_none_beside_a_base(system, made, on):
    log = [read(1, "k", 0, 2, 19), read(2, "fe", 0, 0.1, 19)]
    levels = nutrients(system, log, made(), on)
    usual = supplement_advice(system, levels, made(), on)
    bound = supplement_advice(system, levels, made(), on, first="k")
    assert [item.params["element"] for item in (*usual, *bound)] == ["fe", "k"]
    assert "add.later" in {item.code for item in bound[0].reasons}
    assert [item.code for item in supplement_advice(system, levels, made(), on, busy=True)] == ["add.tomorrow"]
    LogEntry.make({"uuid": UUID(int=9), "at": datetime(2031, 4, 21, tzinfo=ZoneInfo("UTC")), **bound[0].entry})
    assert supplement_advice(system, nutrients(system, [], made(), on), made(), on) == ()


def test_chloride_follows_the_published_ratio_on_the_ion():
    # SRAC 462: ten to one and 100 mg/L; NO2-N 2 mg/L is 6.57 mg/L of the ion.
    assert target_mg_l(2.0) == 100.0
    assert target_mg_l(6.0) == pytest.approx(6.0 * 32.8, rel=2e-3)
    # From nothing to 100 mg/L in 1000 L: 164.9 g of NaCl, 207.3 g of CaCl2.2H2O (derived).
    high = 100.0 / 32.845
    assert salt(high, 0.0, 1.0, choose(["sodium_chloride"], [])).grams == pytest.approx(164.9, abs=0.2)
    assert salt(high, 0.0, 1.0, choose(["calcium_chloride"], [])).grams == pytest.approx(207.3, abs=0.2)
    assert salt(0.2, 120.0, 1.0, choose(["sodium_chloride"], [])) is None


def test_the_insurance_is_built_up_in_steps_and_nitrite_there_is_met_today():
    calm = salt(0.0, 20.0, 1.0, choose(["sodium_chloride"], []))
    acute = salt(2.5, 20.0, 1.0, choose(["sodium_chloride"], []))
    assert calm.rise_mg_l == facts.value("plan.chloride_step")
    assert acute.rise_mg_l == pytest.approx(2.5 * 32.845 - 20.0, rel=1e-3)


def test_salt_is_for_fish_in_a_start_up_and_spares_plants_the_sodium(system, made, on):
    def ask(log, **changes):
        state = state_at(system, log, on)
        return chloride_advice(system, log, state, made(cl_mg_l=20.0), on, **({"starting": True} | changes))

    assert ask([]) == ()
    assert ask([fish()], starting=False) == ()
    given = ask([fish()])[0]
    assert given.params["supply"] == "calcium_chloride"
    assert {"salt.plants", "salt.plain"} <= set(given.cautions)
    assert ask([fish(), read(1, "no2", 0.5, 1.0, 20)], starting=False)
    assert ask([fish("largemouth_bass")]) == ()
    assert Dosed.make(given.entry["payload"]).grams > 0


@pytest.mark.parametrize("soft", [True, False])
def test_after_a_start_on_ammonia_salt_alone_only_nitrogen_is_there(soft):
    # Common practice, no source: seedlings pale after about a week on nitrate alone.
    water = (
        {"alkalinity_meq_l": 0.4, "ca_mg_l": 5, "mg_mg_l": 1}
        if soft
        else {"alkalinity_meq_l": 4, "ca_mg_l": 80, "mg_mg_l": 12}
    )
    loop = System.make(
        {
            "name": "Started on salt",
            "latitude_deg": 50,
            "place": "indoors",
            "tanks": [{"name": "tank", "volume_l": 1000}],
            "beds": [{"name": "bed", "kind": "media", "area_m2": 1}],
            "ammonia_source": {"source": "ammonium_chloride"},
            "seeding": "mature",
            "started_on": START,
            "water_temp_c": [25] * 12,
            "source_water": water | {"k_mg_l": 2, "p_mg_l": 0.05, "fe_mg_l": 0.02},
        }
    )
    # The buffer is baking soda, so that it brings nothing plants want.
    rules = replace(startup_future(loop, START), base_element="na")
    futures = forecast(loop, [], on=START, horizon_days=45, members=60, future=rules)
    levels = nutrients(loop, [], futures, START + timedelta(days=40))
    missing = set(wanting(levels))
    assert named(levels)["n"].state == "present"
    assert missing == ({"k", "p", "fe", "ca", "mg"} if soft else {"k", "p", "fe"})


def test_what_the_next_batch_lacks_is_added_although_there_is_enough_for_today(system, made, on):
    futures = made(p_mg_l=0.8)
    levels = nutrients(system, (), futures, on)
    assert supplement_advice(system, levels, futures, on) == ()
    (advice,) = supplement_advice(system, levels, futures, on, missing=("p",))
    assert advice.params["element"] == "p"
    plenty = made(p_mg_l=30.0)
    assert supplement_advice(system, nutrients(system, (), plenty, on), plenty, on, missing=("p",)) == ()
