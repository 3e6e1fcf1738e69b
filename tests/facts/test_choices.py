import pytest

from rillbed import facts
from rillbed.facts.table import GRADES

ROWS = [*facts.choices().values(), *facts.growth_classes().values(), *facts.dilution_curves().values()]


@pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in ROWS])
def test_every_row_has_a_grade_and_what_is_read_in_print_a_source(row):
    assert row.grade in GRADES
    assert row.source or row.grade in ("practice", "memory")
    assert set(row.source) <= facts.sources().keys()


@pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in facts.choices().values()])
def test_a_value_lies_in_its_range(row):
    assert row.value >= 0.0
    assert row.low is None or row.low <= row.value
    assert row.high is None or row.value <= row.high


def test_units_end_the_names_that_say_them():
    for row in facts.choices().values():
        if row.key.endswith("_mg_l"):
            assert row.unit == "mg/L"
        if row.key.endswith("_c"):
            assert row.unit == "degC"
        if row.key.endswith(("_share", "_theta", "_kc", "_fraction")):
            assert row.unit == "1"


def test_every_class_of_the_crop_table_has_its_growth():
    classes = facts.growth_classes()
    for crop in facts.crops().values():
        assert crop.crop_group in classes or crop.crop_class in classes, crop.id


def test_curves_name_crops_that_exist_and_none_twice():
    named = [crop for curve in facts.dilution_curves().values() for crop in curve.crops]
    assert len(named) == len(set(named))
    assert set(named) <= facts.crops().keys()


def test_an_unknown_name_is_an_error():
    assert facts.choice("air.co2_uatm") == 420.0
    with pytest.raises(KeyError, match=r"choices.toml has no 'air.co3'"):
        facts.choice("air.co3")


def test_defaults_for_source_water_are_a_possible_water():
    # charges of a made-up tap water must come near to balance, in meq/L
    grams = {"ca_mg_l": 20.04, "mg_mg_l": 12.15, "k_mg_l": 39.1, "na_mg_l": 22.99}
    plus = sum(facts.choice(f"source_water.{name}") / per for name, per in grams.items())
    minus = facts.choice("source_water.alkalinity_meq_l") + facts.choice("source_water.cl_mg_l") / 35.45
    minus += facts.choice("source_water.so4_s_mg_l") / 16.03 + facts.choice("source_water.no3_n_mg_l") / 14.007
    assert plus == pytest.approx(minus, rel=0.1)
