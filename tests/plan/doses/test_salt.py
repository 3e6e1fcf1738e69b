from dataclasses import replace

import pytest

from rillbed import facts
from rillbed.plan import doses

# SRC: chloride to ten times nitrite as the ion and never under 100 mg/L (SRAC 462); g per m3 from IUPAC weights.


def chloride(plan):
    return sum(step.adds_mg_l.get("cl", 0.0) for step in plan.steps)


def test_insurance_of_a_cubic_metre_takes_165_g_of_salt(system, soft):
    water = replace(soft(no2=(0.0, 0.1), cl=(0.0, 0.0)), planted=False)
    plan = doses.plan(doses.Goal("protect_nitrite", substance="sodium_chloride"), water, system)
    assert sum(step.amount for step in plan.steps) == pytest.approx(164.9, abs=0.1)
    plan = doses.plan(doses.Goal("protect_nitrite", substance="calcium_chloride"), water, system)
    assert sum(step.amount for step in plan.steps) == pytest.approx(207.3, abs=0.1)


def test_nitrite_n_is_turned_into_the_ion_before_the_ratio(system, soft):
    # 5.0 mg/L NO2-N is 16.42 mg/L nitrite, which ten to one makes 164 mg/L chloride; no plants share this water.
    water = replace(soft(no2=(4.0, 5.0), cl=(0.0, 0.0)), planted=False)
    plan = doses.plan(doses.Goal("protect_nitrite"), water, system)
    assert plan.reached == pytest.approx(164.2, abs=0.1)
    assert plan.steps[0].day == plan.steps[-1].day == 0  # what nitrite asks for now is given today


def test_kinds_that_chloride_does_not_help_get_no_salt(system, soft):
    water = replace(soft(no2=(1.0, 1.0)), species=("bluegill", "largemouth_bass"))
    answer = doses.plan(doses.Goal("protect_nitrite"), water, system)
    assert answer.code == "refuse.not_protected"
    assert {item.values["species"] for item in answer.why} == {"bluegill", "largemouth_bass"}
    both = doses.plan(doses.Goal("protect_nitrite"), replace(water, species=("bluegill", "goldfish")), system)
    assert any(item.code == "salt.not_helped" for item in both.reasons)


def test_salt_stops_at_the_ceilings_of_plants(system, soft):
    plan = doses.plan(doses.Goal("protect_nitrite"), soft(no2=(5.0, 5.0), cl=(60.0, 60.0), na=(30.0, 30.0)), system)
    assert plan.reached <= facts.water_limits()["cl_plants"].high + 1e-6
    assert any(item.code == "doses.salt_short" for item in plan.reasons)
    sodium = doses.plan(
        doses.Goal("protect_nitrite", substance="sodium_chloride"), soft(no2=(1.0, 1.0), cl=(0, 0), na=(30, 30)), system
    )
    assert sum(step.adds_mg_l["na"] for step in sodium.steps) <= 20.0 + 1e-6
    full = soft(no2=(5.0, 5.0), cl=(140.0, 150.0), na=(30.0, 30.0))
    assert doses.plan(doses.Goal("protect_nitrite"), full, system).code == "refuse.salt_plants"


def test_two_salts_share_what_neither_may_bring_alone(system, soft):
    shelf = ("calcium_chloride", "sodium_chloride")
    water = soft(no2=(0.5, 0.5), cl=(10.0, 10.0), na=(5.0, 5.0))
    plan = doses.plan(doses.Goal("protect_nitrite", 130.0), water, system, shelf=shelf)
    assert plan.reached == pytest.approx(130.0, abs=1.5)
    for day in {step.day for step in plan.steps}:
        today = [step for step in plan.steps if step.day == day]
        assert sum(step.adds_mg_l["cl"] for step in today) <= 45.0 + 1e-6
        assert sum(step.adds_mg_l.get("ca", 0.0) for step in today) <= 20.0 + 1e-6


def test_unread_nitrite_is_asked_for(system, soft):
    assert doses.plan(doses.Goal("protect_nitrite"), soft(), system).ask == "no2"
    top = doses.plan(doses.Goal("protect_nitrite"), soft(no2=(2.0, None), cl=(150.0, 160.0)), system)
    assert (top.code, top.ask) == ("refuse.open_no2", "no2")
    enough = soft(no2=(0.0, 0.5), cl=(150.0, 160.0))
    assert doses.plan(doses.Goal("protect_nitrite"), enough, system).code == "refuse.reached"
