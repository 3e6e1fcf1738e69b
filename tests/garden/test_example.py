from datetime import date, timedelta

import pytest

from rillbed.garden import example
from rillbed.garden.fold import check, state_at


@pytest.mark.parametrize("on", [date(2026, 11, 24), date(2028, 3, 1), date(2031, 7, 15)])
def test_last_entry_falls_on_the_day_before(on):
    system, entries = example.load(on)
    days = [system.day_of(entry.at) for entry in entries]
    assert max(days) == on - timedelta(days=1)
    assert min(days) == system.started_on


def test_a_year_that_hangs_together():
    system, entries = example.load(date(2027, 1, 10))
    check(system, entries)
    state = state_at(system, entries, date(2027, 1, 9))
    assert len(state.groups) == 1
    assert state.plantings
    assert (max(e.at for e in entries) - min(e.at for e in entries)).days >= 363
    assert {"reading", "temperature", "feeding", "dosed", "planted", "picked", "fish_weighed"} <= {
        e.kind for e in entries
    }


def test_it_says_that_it_is_invented():
    system, entries = example.load(date(2027, 1, 10))
    assert "nvented" in system.name
    assert any("nvented" in entry.payload.text for entry in entries if entry.kind == "note")
