"""PH that stays high: stones, tap, or neither."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.plan.verdict.stubborn import stubborn

ON = date(2031, 7, 1)
BED = {"name": "bed", "kind": "media", "area_m2": 2.0, "water_depth_cm": 25, "depth_cm": 30}


@pytest.fixture
def course():
    def build(**columns):
        levels = {"volume_m3": 1.0, "temp_c": 22.0, "co2_mg_l": 3.0, "alkalinity_meq_l": 4.0} | columns
        shape = (121, 20)
        table = {n: np.broadcast_to(np.float32(levels.get(n, 0.0)), shape) for n in COLUMNS}
        start = ON - timedelta(days=100)
        return Forecast(start, ON, 120, 20, np.full(20, 0.05), table, np.full(20, np.nan), {}, "", {}, "")

    return build


def high(read, *days):
    return [read("ph", 8.1, 8.3, day=day) for day in days]


def test_stones_in_soft_water(loop, read, entry, course):
    """River rock with fossils held pH at 8.2 for most of a year, and every acid came back."""
    system = loop(beds=[BED | {"medium": "river_gravel"}], source_water={"alkalinity_meq_l": 0.3})
    acid = entry("dosed", day=50, substance="hydrochloric_acid", amount={"value": 300, "unit": "g"})
    log = [
        *high(read, 20, 49),
        acid,
        read("alkalinity", 3.9, 4.1, day=49),
        read("alkalinity", 3.0, 3.2, day=51),
        read("alkalinity", 3.9, 4.1, day=70),
        *high(read, 75, 90),
    ]
    found = stubborn(system, log, course(n_nitrified=0.5, topup_l_day=5.0), on=ON)
    assert found.cause == "media"
    assert found.rebounds[0].came_back
    assert found.rebounds[0].rise == pytest.approx(0.7)
    # 0.5 g N a day is 0.0714 meq/L, half an equivalent a week in the cubic metre, and the acid of 0.82 eq in ten weeks
    used = 0.5 * 2 / 14.007 * system.total_volume_m3 * 7
    assert found.supply_eq_week.middle == pytest.approx(used + 300 * 0.0027427 / 10, rel=0.15)
    assert found.tap_eq_week.middle == pytest.approx(0.3 * 5 * 7 / 1000, rel=1e-3)
    # it came back by 0.9 meq/L in 19 days: that pace is what acid would have to match
    week = 0.9 / 19 * 7 * system.total_volume_m3 / 0.0027427
    assert found.acid_week_g.middle == pytest.approx(week, rel=1e-3)
    assert "stubborn.came_back_alkalinity" in [item.code for item in found.reasons]


def test_tap_alone(loop, read, course):
    """A limestone well: 8.4 for four weeks in spite of nitrification. 14 L a day at 5 meq/L bring what is used."""
    system = loop(beds=[BED | {"medium": "expanded_clay"}], source_water={"alkalinity_meq_l": 5.0})
    nitrified = 0.07 / 2 * 14.007
    log = high(read, 60, 75, 90)
    found = stubborn(system, log, course(n_nitrified=nitrified, topup_l_day=14.0 * 1.05), on=ON)
    assert found.cause == "tap"
    assert found.media_eq_week.middle < 0.2 * found.supply_eq_week.middle
    assert found.ask == ()


def test_both_stores(loop, read, course):
    system = loop(beds=[BED], source_water={"alkalinity_meq_l": 5.0})
    found = stubborn(system, high(read, 60, 90), course(n_nitrified=0.5, topup_l_day=7.0), on=ON)
    assert found.cause == "both"
    assert found.ask == ("medium",)


def test_base_that_was_dosed_is_no_store(loop, read, entry, course):
    """0.5 g N a day use 0.0714 meq/L; 0.55 eq of bicarbonate (100.1 g/mol) a week brings as much: nothing dissolves."""
    system = loop(beds=[BED | {"medium": "expanded_clay"}], source_water={"alkalinity_meq_l": 0.0})
    week = 0.5 * 2 / 14.007 * system.total_volume_m3 * 7 * 100.1
    bases = [
        entry("dosed", day=day, substance="potassium_bicarbonate", amount={"value": week, "unit": "g"})
        for day in (61, 68, 75, 82, 89)
    ]
    log = high(read, 60, 90)
    without = stubborn(system, log, course(n_nitrified=0.5), on=ON)
    found = stubborn(system, [*log, *bases], course(n_nitrified=0.5), on=ON)
    assert without.cause == "media"
    assert found.cause == "none"
    assert found.supply_eq_week.middle < 0.2 * without.supply_eq_week.middle


def test_unread_source_is_asked_for(loop, read, course):
    found = stubborn(loop(), high(read, 60, 90), course(n_nitrified=0.5, topup_l_day=7.0), on=ON)
    assert found.cause == "unknown"
    assert "source_water.alkalinity_meq_l" in found.ask


def test_water_that_is_itself_the_store(loop, read, course):
    found = stubborn(loop(source_water={"alkalinity_meq_l": 0.0}), high(read, 60, 90), course(), on=ON)
    assert found.cause == "none"


def test_how_futile_acid_is(loop, read, course):
    """CaCO3 100.09 g/mol: a kilogram takes 19.98 eq, 7.3 kg of 10 % hydrochloric acid (36.46 g/mol)."""
    system = loop(beds=[BED | {"medium": "limestone_gravel"}], source_water={"alkalinity_meq_l": 0.0})
    log = [*high(read, 60, 90), read("alkalinity", 4.0, 4.0, day=90)]
    found = stubborn(system, log, course(n_nitrified=0.7), on=ON)
    assert found.acid_per_kg_g == pytest.approx(1000 / 100.09 * 2 * 36.46 / 0.1, rel=1e-3)
    assert found.limestone_kg == pytest.approx(2.0 * 0.3 * 1600)
    # pH 8.2 to 7.5 at the same carbon dioxide leaves a fifth of the alkalinity: 10^-0.7
    once = 4.0 * (1 - 10**-0.7) * system.total_volume_m3
    assert found.acid_once_g == pytest.approx(once * 36.46 / 0.1, rel=1e-3)
    # without a store nitrification alone would do it: 3.2 meq/L at 0.1 a day
    assert found.falls_in_days.middle == pytest.approx(4.0 * (1 - 10**-0.7) / (0.7 * 2 / 14.007), rel=1e-3)


def test_low_or_short_is_not_stubborn(loop, read, course):
    assert stubborn(loop(), [read("ph", 7.0, 7.2, day=60), read("ph", 7.0, 7.2, day=90)], course(), on=ON) is None
    assert stubborn(loop(), high(read, 85, 90), course(), on=ON) is None
    assert stubborn(loop(), [], course(), on=ON) is None
