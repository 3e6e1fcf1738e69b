"""What went in after a reading is seen, so that nothing is given twice on an old figure."""

from datetime import date
from uuid import uuid4

import pytest

from rillbed.garden.log import LogEntry
from rillbed.plan import doses
from rillbed.words import doses as said

ON = date(2031, 4, 20)


def entry(day, hour, kind, payload):
    at = f"2031-04-{day:02d}T{hour:02d}:00:00Z"
    return LogEntry.make({"uuid": str(uuid4()), "at": at, "recorded_at": at, "kind": kind, "payload": payload})


def read(day, quantity, hour=8, **more):
    unit = {"ph": "", "alkalinity": "meq/L"}.get(quantity, "mg/L")
    told = {"quantity": quantity, "unit": unit, "low": 6.4, "high": 6.4} | more
    return entry(day, hour, "reading", told)


def dosed(day, substance, hour=9):
    return entry(day, hour, "dosed", {"substance": substance, "amount": {"value": 12, "unit": "g"}})


CHANGE = entry(18, 12, "water_changed", {"volume": {"value": 100, "unit": "L"}})


@pytest.mark.parametrize(
    ("quantity", "substance", "seen"),
    [
        ("ph", "potassium_bicarbonate", True),
        ("ph", "hydrochloric_acid", True),
        ("alkalinity", "potassium_bicarbonate", True),
        ("ph", "potassium_sulfate", False),
        ("cl", "sodium_chloride", True),
        ("cl", "potassium_bicarbonate", False),
        ("fe", "iron_dtpa", True),
        ("tan", "potassium_bicarbonate", False),
    ],
)
def test_only_what_moves_the_quantity_counts(system, quantity, substance, seen):
    found = doses.since(quantity, system, [read(18, quantity), dosed(18, substance)], ON)
    assert bool(found.given) is seen
    assert bool(said.unread(found)) is seen


def test_what_came_before_the_reading_is_in_it(system):
    log = [dosed(18, "potassium_bicarbonate", 7), read(18, "ph"), dosed(18, "potassium_bicarbonate", 9)]
    assert doses.since("ph", system, log, ON).given == (log[2],)
    assert not doses.since("ph", system, [*log, read(19, "ph")], ON).given


def test_a_reading_of_the_source_water_is_none_of_the_loop(system):
    log = [read(17, "ph"), dosed(18, "potassium_bicarbonate"), read(19, "ph", source_water=True)]
    assert doses.since("ph", system, log, ON).given == (log[1],)


def test_a_change_of_water_counts_for_what_it_thins(system):
    assert doses.since("tan", system, [read(18, "tan", basis="n"), CHANGE], ON).given == (CHANGE,)
    assert not doses.since("ph", system, [read(18, "ph"), CHANGE], ON).given


def test_salt_and_iron_are_looked_for_without_a_reading_since_no_forecast_knows_them(system):
    log = [dosed(18, "sodium_chloride"), dosed(18, "iron_dtpa"), dosed(18, "potassium_bicarbonate")]
    assert doses.since("cl", system, log, ON).given == (log[0],)
    assert doses.since("fe", system, log, ON).given == (log[1],)
    assert not doses.since("ph", system, log, ON).given
    assert not doses.since("cl", system, log, date(2031, 5, 20)).given  # long ago


def test_every_goal_that_builds_on_a_reading_names_it():
    named = {kind: doses.stands_on(doses.Goal(kind)) for kind in doses.KINDS}
    assert {kind for kind, quantity in named.items() if quantity is None} == {"dechlorinate", "supplement"}
    assert doses.stands_on(doses.Goal("dilute", quantity="no2")) == "no2"
