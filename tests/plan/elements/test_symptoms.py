"""The symptom table of plants.md section 4 (Kentucky manual, UF/IFAS EP081) as cases, and what is never dosed."""

import math

import numpy as np
import pytest

from rillbed import facts
from rillbed.facts import trouble
from rillbed.facts.remedies import symptoms
from rillbed.plan.elements.symptoms import SIGNS, TOLD, judge, seen_of
from rillbed.plan.elements.traces import trace

SUMMER = {"temp_c": 22.0}


def codes(found):
    return [cause.code for cause in found.causes]


@pytest.mark.parametrize(
    ("seen", "readings", "columns", "cause"),
    [
        ({"where": "old", "pattern": "even_yellow"}, [("no3", 0.0, 1.0)], {}, "n_short"),
        ({"where": "old", "pattern": "edges"}, [("k", 0.0, 3.0)], {}, "k_short"),
        ({"where": "old", "pattern": "between_veins"}, [("mg", 0.0, 2.0)], {}, "mg_short"),
        ({"where": "new", "pattern": "between_veins"}, [("fe", 0.0, 0.1)], {}, "fe_short"),
        ({"where": "new", "pattern": "between_veins"}, [("ph", 8.0, 8.2), ("fe", 1.0, 1.5)], {}, "fe_locked"),
        ({"where": "new", "pattern": "curled"}, [("ca", 0.0, 10.0)], {}, "ca_short"),
        ({"where": "new", "pattern": "tips"}, [("ca", 60.0, 80.0)], {"temp_c": 28.0}, "ca_not_moving"),
        ({"where": "old", "pattern": "purple"}, [("p", 0.0, 0.2)], {}, "p_short"),
        ({"where": "all", "pattern": "purple"}, [("p", 5.0, 8.0)], {"temp_c": 9.0}, "cold"),
        ({"where": "all", "pattern": "stretched"}, [], {}, "light_low"),
        ({"pattern": "wilted", "roots": "brown"}, [], {"temp_c": 27.0}, "root_rot"),
        ({"pattern": "wilted", "roots": "white"}, [], {"temp_c": 29.0}, "heat"),
        ({"where": "old", "pattern": "edges"}, [("k", 30.0, 50.0), ("na", 120.0, 150.0)], {}, "salt_surplus"),
        ({"pattern": "webbing"}, [], {}, "mites_thrips"),
        ({"pattern": "holes"}, [], {}, "chewing"),
        ({"pattern": "powder", "spread": "one_crop"}, [], {}, "mildew"),
        ({"insects": "seen", "pattern": "sticky"}, [], {}, "sucking_insects"),
        ({"pattern": "mosaic", "spread": "one_plant"}, [], {}, "virus"),
        ({"where": "new", "pattern": "brittle"}, [("ca", 50.0, 60.0)], {}, "b_short"),
        ({"pattern": "mottle", "where": "new"}, [("ph", 7.8, 8.0), ("fe", 1.0, 2.0)], {"fe_mg_l": 1.5}, "mn_short"),
    ],
)
def test_the_case_of_the_book_comes_first(system, made, on, living, read, seen, readings, columns, cause):
    log = living + [
        read(n, q, low, high, 20, unit="" if q == "ph" else "mg/L") for n, (q, low, high) in enumerate(readings)
    ]
    found = judge(system, log, made(**{**SUMMER, **columns}), on, seen)
    first_two = codes(found)[: 1 if cause not in ("mn_short", "ca_not_moving") else 2]
    assert cause in first_two, codes(found)


def test_leaf_and_reading_together_are_dosed(system, made, on, living, read):
    log = [*living, read(1, "k", 0.0, 3.0, 20), read(2, "ph", 7.0, 7.0, 20, unit=""),
           read(3, "alkalinity", 1.5, 1.5, 20, unit="meq/L"), read(4, "tan", 0.0, 0.1, 20)]  # fmt: skip
    here = system.model_copy(update={"shelf": ("potassium_sulfate",)})
    first = judge(here, log, made(**SUMMER), on, {"where": "old", "pattern": "edges"}).first
    assert (first.code, first.remedy[0].code) == ("k_short", "remedy.dose")
    assert [cost.supply for cost in first.dose.costs] == ["potassium_sulfate"]


@pytest.mark.parametrize(
    ("seen", "column"),
    [({"where": "old", "pattern": "edges"}, "k_mg_l"), ({"where": "new", "pattern": "between_veins"}, "fe_mg_l")],
)
def test_without_a_reading_nothing_is_dosed(system, made, on, living, seen, column):
    first = judge(system, living, made(**SUMMER, **{column: 0.05}), on, seen).first
    assert first.dose is None
    assert first.remedy[0].code == "remedy.read_first"
    assert not math.isnan(first.chance)


def test_a_fair_reading_against_the_leaf_is_no_reason_to_dose(system, made, on, living, read):
    log = [*living, read(1, "k", 40.0, 60.0, 20)]
    found = judge(system, log, made(**SUMMER), on, {"where": "old", "pattern": "edges"})
    assert all(cause.dose is None for cause in found.causes)
    potassium = next((cause for cause in found.causes if cause.code == "k_short"), None)
    assert potassium is None or potassium.remedy[0].code == "remedy.enough"
    assert found.first.code != "k_short"


def test_copper_and_zinc_are_never_dosed():
    for name in ("cu_short", "zn_short"):
        assert set(symptoms()[name].remedy) == {"no_dose"}
    for row in symptoms().values():
        assert ("dose" in row.remedy) <= (row.element in ("k", "mg", "ca", "fe", "p"))
        assert ("trace" in row.remedy) <= (row.element in ("mn", "b", "mo"))


@pytest.mark.parametrize("element", ["cu", "zn", "k"])
def test_no_trace_of_what_is_poison(system, made, on, element):
    with pytest.raises(ValueError, match="others are never dosed"):
        trace(element, system, [], made(), on)


def test_a_trace_comes_from_a_stock_and_only_once_a_month(system, made, on, entry):
    # 0.1 mg/L in one cubic metre: 0.1 g of manganese, 0.308 g of the sulfate at 32.5 %, 61.5 mL of 5 g in a litre.
    dose = trace("mn", system, [], made(), on)
    assert dose.grams == pytest.approx(0.1 / 0.32506, rel=1e-3)
    assert dose.stock_ml == pytest.approx(dose.grams / 5.0 * 1000.0)
    given = [entry(1, "dosed", {"substance": "manganese_sulfate", "amount": {"value": 0.3, "unit": "g"}}, 10)]
    assert trace("mn", system, given, made(), on) is None


def test_evidence_stands_on_its_side(system, made, on, living, read):
    log = [*living, read(1, "k", 0.0, 3.0, 20)]
    first = judge(system, log, made(**SUMMER), on, {"where": "old", "pattern": "edges", "spread": "one_plant"}).first
    assert "clue.k_short" in [item.code for item in first.evidence]
    assert [item.values["sign"] for item in first.against if item.code == "clue.seen"] == ["spread"]


def test_what_is_missing_is_asked_for(system, made, on, living):
    found = judge(system, living, made(**SUMMER), on, {"pattern": "between_veins"})
    assert found.ask[0] == "sign.where"
    assert "read.ph" in found.ask


def test_an_own_spray_is_remembered(system, made, on, living, entry):
    sprayed = [*living, entry(1, "spray", {"substance": "white oil"}, 18)]
    seen = {"pattern": "bleached", "spread": "one_bed"}
    before, after = (judge(system, log, made(**SUMMER), on, seen) for log in (living, sprayed))
    chance = {c.code: c.chance for c in after.causes}["spray_harm"]
    assert chance > 3.0 * {c.code: c.chance for c in before.causes}.get("spray_harm", 0.03)


def test_old_stands_grow_old(system, made, on, living):
    seen = {"where": "old", "pattern": "even_yellow", "crop": "lettuce_cos"}
    late = made(**SUMMER, days=200)
    assert "old_age" in codes(judge(system, living, late, on, {**seen, "age": "old"}))


def test_the_table_holds_together():
    answers = {f"{sign}.{answer}" for sign, allowed in SIGNS.items() for answer in allowed}
    for row in symptoms().values():
        assert set(row.signs) <= answers, row.id
        assert all(np.isfinite(np.log(value)) for value in (*row.signs.values(), *row.water.values(), row.prior))
        assert row.check
        assert row.remedy
        assert set(row.source) <= set(facts.sources())
    told = {answer for row in symptoms().values() for answer in row.signs}
    assert answers == told


@pytest.mark.parametrize(
    ("seen", "message"),
    [
        ({}, "seen: nothing"),
        ({"crop": "lettuce_cos"}, "seen: nothing"),
        ({"where": "left"}, "seen.where = 'left': must be one of old, new"),
        ({"smell": "bad"}, "'smell' is not a sign"),
        ({"where": "old", "crop": "triffid"}, "seen.crop = 'triffid'"),
    ],
)
def test_bad_input(system, made, on, seen, message):
    with pytest.raises(ValueError, match=message):
        judge(system, [], made(), on, seen)


def test_what_trouble_was_told_is_understood(system, made, on, living):
    seen = seen_of({"leaf": "new", "pattern": "between_veins", "light": "good", "roots": "short"})
    assert seen == {"where": "new", "pattern": "between_veins"}
    assert judge(system, living, made(**SUMMER, fe_mg_l=0.05), on, seen).first.code == "fe_short"
    for key, (sign, answer) in TOLD.items():
        clue, given = key.split(".")
        assert given in trouble.clues()[clue].answers
        assert answer in SIGNS[sign]
