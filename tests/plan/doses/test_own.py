"""The user's own products in the programme: used where they help, left out where they bring ammonia, copper or zinc."""

import pytest

from rillbed.garden.products import Product
from rillbed.plan.doses import Goal, Water, plan
from rillbed.plan.doses.schedule import Problem, solve
from rillbed.plan.doses.schedule import Product as Supply

POTASH = {"id": "own_potash", "name": "Potash", "k": 50, "s": 18}
HERE = {"ph": (7.0, 7.0), "alkalinity": (1.5, 1.5), "tan": (0.0, 0.1)}


@pytest.fixture
def water():
    return Water(1000.0, HERE, ("nile_tilapia",))


def loop(system, *products):
    made = tuple(Product.make(item) for item in products)
    return system.model_copy(update={"products": made, "shelf": tuple(item.id for item in made)})


def grams(found):
    out = {}
    for step in found.steps:
        out[step.substance] = out.get(step.substance, 0.0) + step.amount
    return out


def test_an_own_product_is_used_by_its_label(system, water):
    found = plan(Goal("supplement", needs={"k": 10.0}), water, loop(system, POTASH))
    # 10 g of potassium at 50 % K2O, which is 41.5 % K.
    assert grams(found) == {"own_potash": pytest.approx(10.0 / (0.5 * 0.83015), rel=1e-3)}


def test_what_brings_much_ammonia_is_no_bringer_of_potassium(system, water):
    emulsion = {"id": "own_fish", "name": "Fish emulsion", "n": 5, "p": 1, "k": 1, "organic": True}
    found = plan(Goal("supplement", needs={"k": 10.0}), water, loop(system, emulsion))
    assert "own_fish" not in grams(found)


def test_copper_holds_a_mixture_down(system, water):
    mixture = POTASH | {"id": "own_mixture", "cu": 0.1}
    found = plan(Goal("supplement", needs={"k": 10.0}), water, loop(system, mixture))
    # 0.1 % copper and 0.005 mg/L of it at most: five grams in a cubic metre.
    assert grams(found).get("own_mixture", 0.0) <= 5.0 + 1e-3
    assert any(reason.code == "doses.short" for reason in found.reasons)


def test_organic_matter_is_held_down(system, water):
    weed = {"id": "own_weed", "name": "Seaweed", "k": 3, "organic": True, "density_g_ml": 1.1}
    found = plan(Goal("supplement", needs={"k": 20.0}), water, loop(system, weed))
    # 1 mL for 10 L and week: 200 mL in two weeks, 220 g.
    assert grams(found)["own_weed"] <= 220.0 + 1e-6


def test_where_not_all_can_be_met_the_first_named_is():
    a, b = Supply("a", {"k": 1.0}, 1.0, 50.0, "salt"), Supply("b", {"mg": 1.0}, 1.0, 50.0, "salt")
    for first, second in (("k", "mg"), ("mg", "k")):
        found = solve(Problem({first: 9.0, second: 9.0}, (a, b), 3, most_supplies=1, in_order=True))
        assert found.short[first] == pytest.approx(0.0, abs=1e-3)
        assert found.short[second] == pytest.approx(9.0)
