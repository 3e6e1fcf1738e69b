"""Food from fish water: the rules of plants.md section 5 (Hollyer et al., University of Hawaii; FSMA)."""

import pytest

from rillbed.plan.elements.food import at_picking, at_planting


def test_leaves_stay_dry_and_roots_are_peeled(system):
    assert "food.no_wet_leaves" in at_planting(system, "lettuce_cos")
    assert "food.roots_peel_or_cook" in at_planting(system, "radish")
    assert "food.roots_peel_or_cook" not in at_planting(system, "lettuce_cos")


def test_water_plants_out_of_doors_may_carry_flukes(system):
    outdoors = system.model_copy(update={"place": "outdoors"})
    assert "food.flukes" in at_planting(outdoors, "watercress")
    assert "food.flukes" not in at_planting(system, "watercress")


def test_a_spray_comes_before_everything_at_picking(system, entry, on):
    log = [entry(1, "spray", {"substance": "neem oil"}, 15)]
    assert at_picking(system, log, "lettuce_cos", on)[0] == "food.sprayed"
    old = [entry(1, "spray", {"substance": "neem oil"}, 2)]
    assert "food.sprayed" not in at_picking(system, old, "lettuce_cos", on)
    assert "food.weak_people_cook" in at_picking(system, [], "lettuce_cos", on)


def test_bad_input(system):
    with pytest.raises(ValueError, match="crop = 'triffid'"):
        at_planting(system, "triffid")
