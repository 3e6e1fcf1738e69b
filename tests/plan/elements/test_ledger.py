"""The accounts close against the water, and what was logged stands in them to the gram."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed import facts
from rillbed.engine import forecast
from rillbed.garden.example import load
from rillbed.garden.products import Product
from rillbed.plan.elements.ledger import COUNTED, FOLLOWED, ledger

ON = date(2031, 9, 1)


@pytest.fixture(scope="module")
def drawn():
    system, entries = load(ON)
    run = forecast(system, entries, on=ON, horizon_days=35, members=20)
    return system, entries, run, ledger(system, entries, run, ON)


def fed_g(run):
    """All feed until the evening before, as the members gave it: a log that is silent means a full ration."""
    return run.columns["feed_g_day"][: run.index(ON)].sum(axis=0, dtype=float)


@pytest.mark.parametrize("element", FOLLOWED)
def test_the_lines_add_up_to_what_is_held(drawn, element):
    account = drawn[3].of(element)
    turned = sum(abs(line.grams.middle) for line in account.lines) + account.first_g.middle
    assert max(abs(account.unexplained_g.low), abs(account.unexplained_g.high)) < 1e-5 * turned + 1e-6


def test_what_came_with_feed_is_feed_times_its_content(drawn):
    _, _, run, books = drawn
    k = facts.element_fractions()["k"]
    eaten = fed_g(run) * (1.0 - run.params["uneaten"])
    line = books.of("k").line("feed")
    # The middle member; meals left because the water was bad may take a little off.
    expected = k.content_g_kg * 1e-3 * k.dissolved * float(np.median(eaten))
    assert line.grams.middle == pytest.approx(expected, rel=0.05)
    assert line.table_g[0] < line.grams.middle < line.table_g[1]


def test_feed_goes_to_fish_solids_and_water(drawn):
    _, _, run, books = drawn
    grams = float(np.median(fed_g(run)))
    for element in ("k", "p", "ca", "fe"):
        account = books.of(element)
        whole = account.fish_g.middle + account.solids_g.middle + account.line("feed").grams.middle
        assert whole == pytest.approx(grams * facts.element_fractions()[element].content_g_kg * 1e-3, rel=0.03)


def test_the_month_is_part_of_the_whole(drawn):
    for account in drawn[3].accounts:
        for line in account.lines:
            assert abs(line.month_g.middle) <= abs(line.grams.middle) * (1 + 1e-6) + 1e-6


def test_nitrogen_goes_to_plants_and_into_the_air(drawn):
    account = drawn[3].of("n")
    assert account.line("gas").grams.middle < 0.0
    assert account.line("plants").grams.middle < 0.0
    assert account.line("feed").grams.middle > 0.0


def test_traces_are_counted_and_nothing_is_said_of_the_water(drawn):
    for element in COUNTED:
        account = drawn[3].of(element)
        assert (account.basis, account.held_g) == ("counted", None)
        assert account.line("feed").grams.middle > 0.0
    assert drawn[3].of("mo").line("plants") is None


def test_a_forecast_for_another_day_is_refused(drawn):
    system, entries, run, _ = drawn
    with pytest.raises(ValueError, match="the forecast was made for 2031-09-01"):
        ledger(system, entries, run, ON + timedelta(days=1))


def test_an_own_product_is_booked_by_its_label(system, entry):
    feed = Product.make({"id": "own_mix", "name": "Mix", "k": 12.0, "k_as": "K", "mn": 0.5})
    whole = system.model_copy(update={"products": (feed,), "shelf": ("own_mix",)})
    log = [entry(1, "dosed", {"substance": "own_mix", "amount": {"value": 50, "unit": "g"}}, 3)]
    on = system.started_on + timedelta(days=10)
    books = ledger(whole, log, forecast(whole, log, on=on, horizon_days=30, members=4), on)
    assert books.of("k").line("supplements").grams.middle == pytest.approx(6.0, rel=1e-6)
    assert books.of("mn").line("supplements").grams.middle == pytest.approx(0.25)
