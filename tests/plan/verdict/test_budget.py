"""The budget of alkalinity."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.plan.verdict.budget import budget

ON = date(2031, 4, 21)


@pytest.fixture
def course():
    def build(days=60, members=40, **columns):
        levels = {"volume_m3": 1.0, "temp_c": 22.0, "co2_mg_l": 6.0, "ph": 7.0, "alkalinity_meq_l": 2.0} | columns
        table = {
            name: np.broadcast_to(np.asarray(levels.get(name, 0.0), dtype=np.float32), (days + 1, members))
            for name in COLUMNS
        }
        even = np.full(members, 1 / members)
        return Forecast(
            ON - timedelta(days=10), ON, days, members, even, table, np.full(members, np.nan), {}, "", {}, ""
        )

    return build


def test_ten_grams_of_nitrogen_in_a_cubic_metre(loop, read, course):
    """Stoichiometry (7.14 g CaCO3 per g N): 10 g N nitrified in 1000 L take 1.428 meq/L, 71.5 mg/L CaCO3."""
    system = loop(source_water={"alkalinity_meq_l": 0})
    found = budget(system, [read("alkalinity", 2.0, 2.0)], course(n_nitrified=10.0), on=ON)
    assert found.used_meq_l_day.middle == pytest.approx(1.428, abs=0.001)
    assert found.used_meq_l_day.middle * 50.043 == pytest.approx(71.5, abs=0.1)


def test_feed_nitrogen_takes_half(loop, read, course):
    """From feed nitrogen the net is half, 3.57: what is excreted gives one equivalent first."""
    system = loop(source_water={"alkalinity_meq_l": 0})
    salt = budget(system, [read("alkalinity", 2, 2)], course(n_nitrified=1.0), on=ON)
    feed = budget(system, [read("alkalinity", 2, 2)], course(n_nitrified=1.0, n_excreted=1.0), on=ON)
    assert feed.used_meq_l_day.middle == pytest.approx(salt.used_meq_l_day.middle / 2)


def test_days_until_the_floor_and_the_crash(loop, read, course):
    """2.0 meq/L less 0.1 a day: 45 mg/L CaCO3 (0.8993 meq/L) is passed on day 12, nothing is left by day 20."""
    system = loop(source_water={"alkalinity_meq_l": 0})
    nitrified = 0.1 / 2 * 14.007
    found = budget(system, [read("alkalinity", 2.0, 2.0, day=20)], course(n_nitrified=nitrified), on=ON)
    assert (found.to_floor.low, found.to_floor.middle, found.to_floor.high) == (12, 12, 12)
    wide = budget(system, [read("alkalinity", 1.5, 2.5, day=20)], course(n_nitrified=nitrified), on=ON).to_floor
    assert wide.low < 12 < wide.high
    assert 14 <= found.to_crash.middle <= 20
    assert found.to_crash.middle > found.to_floor.middle
    # potassium bicarbonate 100.1 g/mol: 0.7 eq a week in the cubic metre
    assert found.base_eq_week.middle == pytest.approx(0.7, abs=1e-3)
    assert found.supply == "potassium_bicarbonate"
    assert found.base_g_week.middle == pytest.approx(70.1, abs=0.2)
    assert found.reasons[0].code == "budget.read"


def test_a_lower_reading_never_crashes_later(loop, read, course):
    system = loop()
    days = [
        budget(system, [read("alkalinity", low, 2.0)], course(n_nitrified=0.7), on=ON).to_crash.low
        for low in (2.0, 1.5, 1.0, 0.5)
    ]
    assert days == sorted(days, reverse=True)


def test_hard_top_up_brings_it_back(loop, read, course):
    """20 L a day of water at 5 meq/L bring 0.1 meq/L to a cubic metre."""
    system = loop(source_water={"alkalinity_meq_l": 5.0})
    found = budget(system, [read("alkalinity", 2, 2)], course(n_nitrified=0.7, topup_l_day=20.0), on=ON)
    assert dict(found.parts_meq_l_day)["source_water"] == pytest.approx(-0.1)
    assert found.used_meq_l_day.middle == pytest.approx(0.0, abs=1e-3)
    assert found.to_crash.middle is None
    assert found.to_crash.chance == 0.0


def test_without_a_reading_the_members_speak(loop, course):
    found = budget(loop(), [], course(alkalinity_meq_l=0.05), on=ON)
    assert found.read_on is None
    assert found.to_crash.middle == 0.0
    assert [item.code for item in found.reasons][:1] == ["budget.by_model"]
    assert "budget.crash_now" in [item.code for item in found.reasons]


def test_a_forecast_that_ends_today_is_refused(loop, course):
    with pytest.raises(ValueError, match="must reach beyond"):
        budget(loop(), [], course(days=10), on=ON)
