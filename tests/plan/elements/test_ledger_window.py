"""The books of a long log are those of its window: what was dosed before is not counted into it."""

from datetime import timedelta

import pytest
from tests.fit.conftest import START, entry, loop

from rillbed.fit.window import begin_of
from rillbed.plan.ahead import ahead, unfitted
from rillbed.plan.elements.ledger import ledger
from rillbed.plan.near import near, packed, unpacked

DAYS = 1500
ON = START + timedelta(days=DAYS)
SYSTEM = loop(startup_path="running")


@pytest.fixture(scope="module")
def run():
    fish = {"species": "nile_tilapia", "count": 10, "weight": {"value": 60, "unit": "g"}, "group": "a"}
    base = {"substance": "potassium_bicarbonate", "amount": {"value": 30, "unit": "g"}}
    log = [entry(0, "fish_in", fish), *(entry(d, "dosed", base) for d in range(50, DAYS, 50))]
    posterior = unfitted(SYSTEM, log, on=ON, members=20)
    return log, ahead(SYSTEM, log, on=ON, horizon_days=40, members=20, posterior=posterior)


def test_base_is_that_of_the_window_to_the_gram(run):
    log, forecast = run
    begin = begin_of(START, ON)
    assert begin > START
    books = ledger(SYSTEM, log, forecast, ON)
    assert books.first == begin
    doses = sum(e.kind == "dosed" and e.at.date() >= begin for e in log)
    share = 39.098 / 100.115  # of potassium in its bicarbonate, by mass
    assert books.of("k").line("base").grams.middle == pytest.approx(doses * 30.0 * share, rel=0.01)
    assert books.of("k").line("supplements") is None
    assert abs(books.of("k").unexplained_g.middle) < 1e-3 * books.of("k").held_g.middle


def test_the_kept_part_still_knows_since_when_its_books_run(run):
    log, forecast = run
    kept = unpacked(packed(near(forecast, ON)))
    assert kept.start > forecast.start
    assert kept.booked_since == forecast.booked_since == forecast.start
    assert ledger(SYSTEM, log, kept, ON).first == forecast.start
