from dataclasses import replace

import pytest

from rillbed import facts
from rillbed.plan import doses
from rillbed.plan.shelf import BASES


@pytest.mark.parametrize("name", BASES)
def test_every_base_stays_within_two_tenths_of_ph_a_day(soft, system, name):
    plan = doses.plan(doses.Goal("raise_ph", 7.0, name), soft(), system)
    for day in {step.day for step in plan.steps}:
        steps = [step for step in plan.steps if step.day == day]
        start = steps[0].ph_before
        assert all(step.ph_at_once - start <= 0.2 + 1e-6 for step in steps)
    assert plan.harm <= 0.01


def test_no_hydroxide_goes_in_at_once(soft, system):
    plan = doses.plan(doses.Goal("raise_ph", 7.0, "potassium_hydroxide"), soft(), system)
    first = [step for step in plan.steps if step.day == 0]
    assert len(first) == 4
    assert len({step.hour for step in first}) == 4
    assert all(step.dissolve_l * 1000.0 >= 100.0 * step.amount for step in first)


def test_the_amount_is_the_equivalents_it_brings(soft, system):
    plan = doses.plan(doses.Goal("raise_alkalinity", 0.6, "potassium_bicarbonate"), soft(), system)
    grams = sum(step.amount for step in plan.steps)
    assert grams * facts.supplements()["potassium_bicarbonate"].alkalinity_eq_per_g == pytest.approx(0.2, rel=1e-6)
    assert plan.reached == pytest.approx(0.6)
    # 100.115 g/mol, 39.098 of it potassium (IUPAC)
    assert sum(step.adds_mg_l["k"] for step in plan.steps) == pytest.approx(0.2 * 39.098, rel=1e-3)


@pytest.mark.parametrize("tan", [(1.0, 2.0), (0.5, 1.0), (2.0, None)])
def test_ph_is_not_raised_while_ammonia_may_be_high(soft, system, tan):
    answer = doses.plan(doses.Goal("raise_ph", 7.0), soft(tan=tan), system)
    assert answer.code == "refuse.tan"
    assert doses.plan(doses.Goal("raise_ph", 7.0), replace(soft(tan=tan), fish=False), system).steps


def test_an_unread_ammonia_or_alkalinity_is_asked_for_first(soft, system):
    for name in ("tan", "alkalinity"):
        spans = dict(soft().spans)
        del spans[name]
        assert doses.plan(doses.Goal("raise_ph", 7.0), replace(soft(), spans=spans), system).ask == name


def test_free_ammonia_over_the_line_is_refused(soft, system):
    answer = doses.plan(doses.Goal("raise_ph", 8.4), soft(ph=(7.9, 8.0), alkalinity=(2.0, 2.2), tan=(0.8, 0.9)), system)
    assert answer.code == "refuse.free_ammonia"
    assert answer.why[0].values["nh3"] > 0.05


@pytest.mark.parametrize("name", ["vinegar", "citric acid", "copper sulfate", "iron tablets", "bleach", "wood ash"])
def test_household_cures_are_refused_with_something_better(soft, system, name):
    answer = doses.plan(doses.Goal("lower_ph", 6.5, name), soft(), system)
    assert isinstance(answer, doses.Refusal)
    assert answer.instead


def test_a_water_that_cannot_be_is_a_contradiction(soft, system):
    water = soft(ph=(9.0, 9.0), alkalinity=(0.01, 0.01), tan=(0.0, 0.0))
    assert doses.plan(doses.Goal("raise_ph", 9.5), water, system).code in {"refuse.target", "refuse.contradiction"}
    water = soft(ph=(9.9, 9.9), alkalinity=(0.06, 0.06))
    assert doses.plan(doses.Goal("raise_alkalinity", 1.0), water, system).code == "refuse.contradiction"


def test_sodium_stops_where_plants_would_suffer(soft, system):
    plan = doses.plan(doses.Goal("raise_ph", 7.0, "sodium_bicarbonate"), soft(na=(40.0, 45.0)), system)
    assert sum(step.adds_mg_l["na"] for step in plan.steps) <= 5.0 + 1e-6
    full = doses.plan(doses.Goal("raise_ph", 7.0, "sodium_bicarbonate"), soft(na=(50.0, 60.0)), system)
    assert full.code == "refuse.sodium"


def test_bad_input_names_field_and_range(soft, system):
    with pytest.raises(ValueError, match=r"goal\.kind"):
        doses.Goal("cure")
    with pytest.raises(ValueError, match="substance"):
        doses.plan(doses.Goal("raise_ph", 7.0, "gypsum"), soft(), system)
    with pytest.raises(ValueError, match="low 7 is above high 6"):
        soft(ph=(7.0, 6.0))
