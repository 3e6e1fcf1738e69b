"""First passage by hand: a straight line crosses its floor on a day that can be reckoned."""

from datetime import timedelta

import numpy as np
import pytest

from rillbed import facts
from rillbed.plan.elements.evidence import against
from rillbed.plan.elements.short import course, shortages

FLOOR = facts.value("plants.room_floor_k")


def by_name(found):
    return {item.element: item for item in found}


def falling(per_day, days=200, members=100, start=40.0):
    """A line that falls from day 0, each member by its own rate."""
    return np.maximum(start - np.arange(days + 1.0)[:, None] * per_day * np.ones(members), 0.0)


def test_a_line_crosses_its_floor_on_the_day_reckoned(system, made, on):
    # 40 - 0.5 d is under 5 from day 71 on: 51 days after the twentieth.
    k = by_name(shortages(system, [], made(k_mg_l=falling(0.5)), on))["k"]
    assert k.dates == (on + timedelta(days=51),) * 3
    assert (k.chance, k.chance_soon, k.is_short) == (1.0, 0.0, False)
    assert k.per_day_mg_l.middle == pytest.approx(-0.5, rel=1e-4)


def test_quantiles_are_those_of_the_members(system, made, on):
    rates = np.repeat([2.0, 0.5, 0.0], [10, 50, 40])
    k = by_name(shortages(system, [], made(k_mg_l=falling(rates)), on))["k"]
    assert k.dates[0] == on  # 40 - 2 d has been under 5 since day 18
    assert k.dates[1] == on + timedelta(days=51)
    assert k.dates[2] is None
    assert k.chance == pytest.approx(0.6)


def test_what_runs_short_first_stands_first(system, made, on):
    found = shortages(system, [], made(k_mg_l=falling(0.5), fe_mg_l=0.1, mg_mg_l=falling(0.2, start=15.0)), on)
    assert [item.element for item in found[:3]] == ["fe", "mg", "k"]
    assert found[0].is_short


def test_a_reading_moves_the_course(system, made, on, read):
    run = made(k_mg_l=falling(0.5))
    # The books hold 30.5 on the evening of day 19; 8 to 10 was read on day 20.
    log = [read(1, "k", 8.0, 10.0, 20)]
    path = course(system, log, run, on, "k")
    assert path[0].max() == pytest.approx(10.0)
    k = by_name(shortages(system, log, run, on))["k"]
    assert k.dates[1] == on + timedelta(days=10)  # 10 - 0.5 d under 5: eleven days after the evening before
    assert k.read_on == on


def test_iron_is_moved_by_a_factor_and_an_old_reading_not_at_all(system, made, on, read):
    run = made(fe_mg_l=2.0 * np.exp(-0.05 * np.arange(201.0)))
    path = course(system, [read(1, "fe", 0.4, 0.4, 20)], run, on, "fe")
    assert path[0, 0] == pytest.approx(0.4, rel=1e-5)
    assert path[14, 0] == pytest.approx(0.4 * np.exp(-0.7), rel=1e-5)
    old = course(system, [read(1, "fe", 0.4, 0.4, 2)], run, on, "fe")
    assert old[0, 0] == pytest.approx(2.0 * np.exp(-0.95), rel=1e-5)


def test_the_shelf_comes_first_and_feed_brings_nitrogen(system, made, on):
    found = by_name(shortages(system, [], made(), on, shelf=("potassium_chloride",)))
    assert found["k"].closed_by[0] == "potassium_chloride"
    assert "potassium_bicarbonate" in found["k"].closed_by
    assert found["n"].closed_by == ()
    assert found["k"].floor_mg_l == FLOOR


def test_a_reading_against_the_books_is_told_in_grams(system, made, on, read):
    found = against(system, [read(1, "ca", 10.0, 20.0, 20), read(2, "k", 35.0, 45.0, 20)], made(), on)
    assert len(found) == 1
    less = found[0]
    assert (less.element, less.side, less.foreseen_mg_l.middle) == ("ca", "less", 60.0)
    assert less.gap_g == pytest.approx(40.0)  # 60 - 20 mg/L in one cubic metre
    assert "water_left" in less.suspects
    more = against(system, [read(1, "k", 70.0, None, 20)], made(), on)[0]
    assert (more.side, more.gap_g) == ("more", pytest.approx(30.0))
    assert "stones_dissolve" not in more.suspects


def test_a_dose_of_the_same_day_is_no_contradiction(system, made, on, read):
    k = np.full(201, 5.0)
    k[20:] = 25.0
    assert against(system, [read(1, "k", 4.0, 6.0, 20), read(2, "k", 24.0, 26.0, 20)], made(k_mg_l=k), on) == ()
