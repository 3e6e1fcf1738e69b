from dataclasses import replace

import numpy as np
import pytest

from rillbed import facts
from rillbed.plan import doses
from rillbed.plan.doses.change import left_after
from rillbed.plan.doses.media import ceiling
from rillbed.plan.doses.water import Samples
from rillbed.science.carbonate import speciate


def with_source(system, **source):
    return system.model_copy(update={"source_water": type(system.source_water).model_validate(source)})


def codes(items):
    return {item.code for item in items}


# --- chlorine: 2 S2O3 for each Cl2 makes 7.00 g pentahydrate per g, ascorbic acid 2.484 (IUPAC weights)


@pytest.mark.parametrize(("name", "grams"), [("sodium_thiosulfate", 2.80), ("ascorbic_acid", 0.994)])
def test_two_hundred_litres_of_two_mg(system, soft, name, grams):
    tap = with_source(system, free_chlorine_mg_l=2.0, chloramine_mg_l=0.0)
    plan = doses.plan(doses.Goal("dechlorinate", substance=name, litres=200.0), soft(), tap)
    assert plan.steps[0].amount == pytest.approx(grams, abs=0.001)


def test_chloramine_leaves_its_ammonia_and_wants_thiosulfate(system, soft):
    tap = with_source(system, chloramine_mg_l=3.0)
    plan = doses.plan(doses.Goal("dechlorinate", litres=500.0), soft(), tap)
    assert plan.steps[0].substance == "sodium_thiosulfate"
    assert plan.steps[0].adds_mg_l["tan"] == pytest.approx(0.59, abs=0.005)
    assert "not.standing_chloramine" in codes(plan.not_to_do)
    refused = doses.plan(doses.Goal("dechlorinate", substance="ascorbic_acid", litres=500.0), soft(), tap)
    assert refused.code == "refuse.ascorbate"


def test_a_tap_nobody_tested_is_treated_as_the_worst(system, soft):
    plan = doses.plan(doses.Goal("dechlorinate", litres=1000.0), soft(), system)
    assert plan.steps[0].amount == pytest.approx(28.0)
    assert "doses.chlorine_assumed" in codes(plan.reasons)
    clean = with_source(system, free_chlorine_mg_l=0.0, chloramine_mg_l=0.0)
    assert doses.plan(doses.Goal("dechlorinate", litres=1000.0), soft(), clean).code == "refuse.no_chlorine"


# --- iron: grams = litres x mg/L / 1000 / share of iron


@pytest.mark.parametrize(
    ("ph", "chelate", "grams"),
    [(6.4, "iron_dtpa", 18.2), (6.2, "iron_edta", 15.4), (7.6, "iron_eddha", 33.3), (7.6, "iron_hbed", 22.2)],
)
def test_two_mg_of_iron_in_a_cubic_metre(system, soft, ph, chelate, grams):
    plan = doses.plan(doses.Goal("iron", 2.0, chelate), soft(ph=(ph, ph), fe=(0.0, 0.0)), system)
    assert sum(step.amount for step in plan.steps) == pytest.approx(grams, abs=0.05)


def test_a_chelate_that_falls_apart_at_this_ph_is_refused(system, soft):
    refused = doses.plan(doses.Goal("iron", substance="iron_edta"), soft(ph=(7.0, 7.4)), system)
    assert refused.code == "refuse.chelate"
    assert refused.instead[0].values["supply"] == "iron_eddha"
    assert doses.plan(doses.Goal("iron"), replace(soft(), spans={}), system).ask == "ph"


def test_iron_that_nobody_read_is_lifted_to_the_lower_end_only(system, soft):
    """Ranges: `water_limits`, fe_target, 1 to 2 mg/L; the water may hold what nobody read."""
    liked = facts.water_limits()["fe_target"]
    blind = doses.plan(doses.Goal("iron"), soft(ph=(6.4, 6.4)), system)
    assert blind.reached == pytest.approx(liked.low)
    assert [why.code for why in blind.reasons[1:3]] == ["doses.iron_unread", "doses.iron_low_end"]
    read = doses.plan(doses.Goal("iron"), soft(ph=(6.4, 6.4), fe=(0.0, 0.0)), system)
    assert read.reached == pytest.approx(liked.high)
    asked = doses.plan(doses.Goal("iron", 2.0), soft(ph=(6.4, 6.4)), system)
    assert asked.reached == pytest.approx(2.0)
    assert "doses.iron_low_end" not in [why.code for why in asked.reasons]


def test_sensitive_fish_get_iron_in_halves(system, soft):
    plan = doses.plan(doses.Goal("iron", 2.0), replace(soft(), species=("rainbow_trout",)), system)
    assert [step.day for step in plan.steps] == [0, 1]
    assert all(step.adds_mg_l["fe"] <= 1.0 + 1e-9 for step in plan.steps)


# --- changing water


def test_two_changes_of_sixty_percent_leave_sixteen():
    assert left_after(100.0, 0.0, 0.6, 2) == pytest.approx(16.0)
    assert left_after(8.0, 0.6, 0.5, 1) == pytest.approx(4.3)


def test_changes_bring_ammonia_down_and_tell_what_each_leaves(system, soft):
    tap = with_source(system, ph=6.6, alkalinity_meq_l=0.5, free_chlorine_mg_l=0.0, chloramine_mg_l=0.0)
    plan = doses.plan(doses.Goal("dilute", 1.0), soft(tan=(3.0, 4.0)), tap)
    left, parts_ = 4.0, [step.amount / 1000.0 for step in plan.steps]
    for step, part in zip(plan.steps, parts_, strict=True):
        left *= 1.0 - part
        assert step.notes[0].values["left"] == pytest.approx(left)
    assert left <= 1.0
    assert max(parts_) <= 0.5


def test_fresh_water_far_in_ph_goes_in_small_changes(system, soft):
    tap = with_source(system, ph=8.2, alkalinity_meq_l=4.0, free_chlorine_mg_l=0.0, chloramine_mg_l=0.0)
    plan = doses.plan(doses.Goal("dilute", 40.0, quantity="no3"), soft(no3=(60.0, 70.0)), tap)
    for day in {step.day for step in plan.steps}:
        today = [step for step in plan.steps if step.day == day]
        assert max(step.ph_at_once for step in today) - today[0].ph_before <= 0.2 + 1e-6
    assert plan.steps[0].amount < 200.0
    big = doses.plan(doses.Goal("dilute", 40.0, quantity="no3", each_litres=500.0), soft(no3=(60.0, 70.0)), tap)
    assert big.code == "refuse.change"


def test_untested_tap_is_treated_before_each_change(system, soft):
    plan = doses.plan(doses.Goal("dilute", 1.0), soft(tan=(2.0, 2.0)), system)
    assert plan.steps[0].substance == "sodium_thiosulfate"
    assert plan.steps[0].amount == pytest.approx(28.0 * plan.steps[1].amount / 1000.0)
    assert plan.steps[1].amount <= 250.0  # nothing is known of its pH


def test_a_source_with_the_same_in_it_is_refused(system, soft):
    answer = doses.plan(doses.Goal("dilute", 0.5, source={"tan": 0.8}), soft(tan=(2.0, 2.0)), system)
    assert answer.code == "refuse.dilute_source"


def test_cold_water_is_measured_by_the_degree(system, soft):
    tap = with_source(system, ph=6.6, alkalinity_meq_l=0.5, free_chlorine_mg_l=0.0, chloramine_mg_l=0.0)
    plan = doses.plan(doses.Goal("dilute", 1.0, source={"temperature": 9.0}), soft(tan=(4.0, 4.0)), tap)
    assert plan.steps[0].amount <= 1000.0 * 3.0 / 15.0 + 1e-6
    assert any(note.code == "doses.pour_slowly" for note in plan.steps[0].notes)


# --- acid


def test_acid_against_stones_or_a_hard_tap_is_shown_futile(system, soft):
    hard = soft(ph=(8.1, 8.2), alkalinity=(4.0, 4.0), tan=(0.0, 0.1))
    answer = doses.plan(doses.Goal("lower_ph", 7.4), hard, with_source(system, alkalinity_meq_l=4.0))
    assert answer.code == "refuse.acid_source"
    assert answer.why[0].values["acid_g"] > 500.0
    bed = {"name": "b", "kind": "media", "area_m2": 1.0, "medium": _limestone()}
    stones = type(system).model_validate({**system.model_dump(), "beds": [bed]})
    assert doses.plan(doses.Goal("lower_ph", 7.4), hard, stones).code == "refuse.acid_limestone"


def _limestone():
    return next(name for name, row in facts.media().items() if row.limestone)


def test_acid_keeps_the_step_and_the_buffer(system, soft):
    water = soft(ph=(7.4, 7.4), alkalinity=(2.5, 2.5), ca=(5.0, 5.0))
    plan = doses.plan(doses.Goal("lower_ph", 7.2), water, system)
    assert all(step.ph_before - step.ph_at_once <= 0.2 + 1e-6 for step in plan.steps)
    assert plan.reached == pytest.approx(7.2, abs=0.02)
    assert "acid.into_water" in plan.cautions
    weak = doses.plan(doses.Goal("lower_ph", 6.4), soft(ph=(7.0, 7.0), alkalinity=(1.0, 1.0)), system)
    assert weak.code == "refuse.acid_no_buffer"


# --- carbonate media: PHREEQC 3.7.3, pure water and calcite at fixed pCO2


@pytest.mark.parametrize(
    ("temp", "pco2", "ph", "alk"),
    [(25.0, 420.0, 8.199, 1.086), (25.0, 3000.0, 7.639, 2.143), (20.0, 5000.0, 7.498, 2.791)],
)
def test_calcite_alone_gets_to_where_phreeqc_says(temp, pco2, ph, alk):
    start = np.array([float(speciate(temp, 1e-4, 1e-5, pco2_uatm=pco2).ph)])
    one = np.ones(1)
    sample = Samples(one, one * temp, start, one * 1e-4, 0 * one, 0 * one, 0 * one, 1e-5 * one, ca_known=True)
    got_alk, got_ph = ceiling(sample)
    assert got_ph[0] == pytest.approx(ph, abs=0.02)
    assert got_alk[0] == pytest.approx(alk, rel=0.03)


def test_a_bag_of_shell_cannot_pass_its_own_ceiling(system, soft):
    water = soft(ca=(20.0, 20.0))
    answer = doses.plan(doses.Goal("carbonate_media", 20.0), water, system)
    assert answer.code == "refuse.media_ceiling"
    plan = doses.plan(doses.Goal("carbonate_media", 1.2), water, system)
    assert plan.steps[0].amount == pytest.approx(0.8 / 0.0199828, rel=1e-3)


# --- several needs


def test_needs_are_met_together_within_every_cap(system, soft):
    goal = doses.Goal("supplement", needs={"alkalinity": 0.3, "k": 25.0, "ca": 10.0, "fe": 1.0})
    shelf = ("potassium_bicarbonate", "potassium_sulfate", "gypsum", "iron_dtpa")
    plan = doses.plan(goal, soft(), system, shelf=shelf)
    table = facts.supplements()
    for day in {step.day for step in plan.steps}:
        today = [step for step in plan.steps if step.day == day]
        assert sum(step.adds_mg_l.get("k", 0.0) for step in today) <= 20.0 + 1e-5
        kinds = {table[step.substance].kind for step in today}
        assert not {"chelate", "base"} <= kinds
    assert plan.harm <= 0.01
    last_base = max(s.day for s in plan.steps if table[s.substance].kind == "base")
    assert all(s.day > last_base for s in plan.steps if table[s.substance].kind == "chelate")


def test_two_bases_share_what_sodium_would_forbid_one(system, soft):
    water = soft(na=(45.0, 45.0))
    shelf = ("sodium_bicarbonate", "calcium_hydroxide")
    plan = doses.plan(doses.Goal("raise_alkalinity", 2.0), water, system, shelf=shelf)
    assert {step.substance for step in plan.steps} == set(shelf)
    assert sum(step.adds_mg_l.get("na", 0.0) for step in plan.steps) <= 5.0 + 1e-5


def test_salts_need_no_ph_and_iron_and_base_do(system, soft):
    unread = replace(soft(), spans={})
    plan = doses.plan(doses.Goal("supplement", needs={"k": 15.0}), unread, system)
    assert sum(step.adds_mg_l["k"] for step in plan.steps) == pytest.approx(15.0, rel=1e-4)
    assert doses.plan(doses.Goal("supplement", needs={"k": 15.0, "fe": 1.0}), unread, system).ask == "ph"
    assert doses.plan(doses.Goal("supplement", needs={"alkalinity": 0.5}), unread, system).ask == "ph"


def test_weak_water_at_high_ph_takes_no_base_at_all(system, soft):
    water = soft(ph=(8.2, 8.4), alkalinity=(0.4, 0.7), tan=(0.0, 0.02), ca=(2.0, 2.0))
    answer = doses.plan(doses.Goal("supplement", needs={"alkalinity": 0.5}), water, system)
    assert answer.harm <= 0.01
    for day in {step.day for step in answer.steps}:
        today = [step for step in answer.steps if step.day == day]
        assert max(step.ph_at_once for step in today) - today[0].ph_before <= 0.2 + 1e-6


def test_water_under_more_than_an_atmosphere_of_co2_is_a_contradiction(system, soft):
    answer = doses.plan(doses.Goal("raise_ph", 6.5), soft(ph=(5.5, 5.5), alkalinity=(6.0, 6.0)), system)
    assert answer.code == "refuse.contradiction"


def test_sulfate_stops_potassium_where_plants_have_enough_of_it(system, soft):
    water = soft(s=(30.0, 32.0))
    plan = doses.plan(doses.Goal("supplement", needs={"k": 30.0}), water, system, shelf=("potassium_sulfate",))
    assert sum(step.adds_mg_l["s"] for step in plan.steps) <= facts.water_limits()["s_plants"].high - 32.0 + 1e-5
    assert "doses.short" in codes(plan.reasons)
