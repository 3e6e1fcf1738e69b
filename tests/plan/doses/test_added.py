"""So many grams of one supply: against sums by hand and against the planner's own caps."""

import pytest

from rillbed import facts
from rillbed.garden.system import System
from rillbed.plan.doses import Added, Goal, Refusal, Water, added, plan

LITRES = 1000.0
SOFT = {"ph": (6.8, 7.0), "alkalinity": (0.8, 1.0), "tan": (0.0, 0.1), "temperature": (22.0, 22.0)}


def water(**spans) -> Water:
    return Water(LITRES, {**SOFT, **spans}, ("nile_tilapia",))


def test_what_comes_with_it_is_its_share_of_the_label():
    found = added("potassium_bicarbonate", 10.0, water())
    assert isinstance(found, Added)
    # KHCO3 is 39.1 % potassium: 10 g in 1 m3
    assert found.adds_mg_l["k"] == pytest.approx(3.905, rel=0.01)
    # 10 g / 100.1 g/mol is 0.1 eq in 1 m3
    assert found.alkalinity_meq_l.middle - 0.9 == pytest.approx(0.0999, rel=0.02)
    assert found.ph_settled.middle > found.ph_before.middle
    assert found.fine


def test_too_much_at_once_is_said_with_what_a_day_allows():
    found = added("potassium_carbonate", 200.0, water())
    assert not found.fine
    assert found.harm > 0.5
    assert found.reasons[0].code == "added.too_fast"
    again = added("potassium_carbonate", 0.99 * found.most_g, water())
    assert again.harm <= facts.value("dosing.tolerated_harm")


def test_the_day_it_allows_is_that_of_the_planner():
    system = System.make(
        {"name": "s", "latitude_deg": 0, "place": "outdoors", "started_on": "2031-01-01",
         "tanks": [{"name": "t", "volume_l": LITRES}]}
    )  # fmt: skip
    day = plan(Goal("raise_ph", 8.0, "potassium_bicarbonate"), water(), system)
    first = sum(step.amount for step in day.steps if step.day == 0)
    assert added("potassium_bicarbonate", 5.0, water()).most_g == pytest.approx(first, rel=0.02)


def test_base_is_refused_while_ammonia_is_high():
    found = added("potassium_bicarbonate", 5.0, water(tan=(1.0, 2.0)))
    assert not found.fine
    assert found.refused.code == "refuse.tan"


def test_salt_leaves_ph_alone_and_is_bounded_by_plants():
    found = added("sodium_chloride", 20.0, water(na=(10.0, 10.0), cl=(20.0, 20.0)))
    assert found.ph_settled.middle == pytest.approx(found.ph_before.middle, abs=0.03)
    # 20 g of salt are 7.9 mg/L of sodium (39.3 %)
    assert found.adds_mg_l["na"] == pytest.approx(7.87, rel=0.01)
    much = added("sodium_chloride", 500.0, water(na=(10.0, 10.0), cl=(20.0, 20.0)))
    assert not much.fine
    assert much.reasons[0].code == "added.too_much"


def test_without_readings_a_base_is_not_called_fine():
    found = added("potassium_bicarbonate", 5.0, Water(LITRES, {"tan": (0.0, 0.1)}))
    assert not found.fine
    assert found.ph_settled is None
    assert found.reasons[0].code == "added.unknown"


def test_household_names_are_refused_and_unknown_ones_named():
    assert isinstance(added("vinegar", 10.0, water()), Refusal)
    with pytest.raises(ValueError, match="moon_dust"):
        added("moon_dust", 10.0, water())
    for grams in (0.0, -1.0, 1e9, float("nan")):
        with pytest.raises(ValueError, match="grams"):
            added("potassium_bicarbonate", grams, water())
