"""Spells of a log: which one counts on a day, and which may not come in."""

from datetime import date, timedelta
from uuid import UUID

import pytest

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.spells import must_not_meet, spell_on, spells

ON = date(2031, 3, 1)


def spell(key: int, first: int, last: int, share: float = 0.5, of: int | None = None, kind: str = "away") -> LogEntry:
    told = {
        "name": f"spell {key}", "first": ON + timedelta(days=first), "last": ON + timedelta(days=last),
        "feed_share": share, "by": "Ann",
    }  # fmt: skip
    return LogEntry.make({
        "uuid": UUID(int=key), "at": f"{ON}T08:00:00Z", "recorded_at": f"{ON}T08:{key:02}:00Z", "author": "k",
        "kind": kind, "payload": told if kind == "away" else {}, "supersedes": None if of is None else UUID(int=of),
    })  # fmt: skip


def meets(log: list[LogEntry], *new: int) -> GardenError | None:
    try:
        must_not_meet(log, {UUID(int=key) for key in new})
    except GardenError as error:
        return error
    return None


def test_one_that_shares_a_day_is_refused_at_the_end_that_does() -> None:
    log = [spell(1, 10, 20)]
    assert meets([*log, spell(2, 21, 30)], 2) is None
    for first, last, field in ((20, 30, "first"), (5, 10, "last"), (12, 13, "first"), (5, 30, "last")):
        wrong = meets([*log, spell(2, first, last)], 2)
        assert wrong is not None
        assert wrong.field == f"entry {UUID(int=2)} (away).{field}"
        assert "spell 1" in wrong.allowed


def test_only_what_counts_in_the_end_is_looked_at() -> None:
    old, met = spell(1, 10, 20), spell(2, 15, 25)
    # Corrected out of the way, or taken back, in the same go.
    assert meets([old, met, spell(3, 21, 25, of=2)], 2, 3) is None
    assert meets([old, met, spell(3, 0, 0, of=1, kind="withdrawn")], 2) is None
    # A correction may keep its own days, but move into no others; the entry named is the one that did it.
    assert meets([old, spell(2, 21, 25), spell(3, 22, 26, of=2)], 3) is None
    wrong = meets([old, spell(2, 21, 25), spell(3, 20, 25, of=2)], 3)
    assert wrong is not None
    assert str(UUID(int=3)) in wrong.field


def test_two_that_come_in_together_may_not_meet_and_those_that_met_before_hinder_nothing_else() -> None:
    both = [spell(1, 10, 20), spell(2, 15, 25)]
    wrong = meets(both, 1, 2)
    assert wrong is not None
    assert str(UUID(int=2)) in wrong.field
    assert meets([*both, spell(3, 30, 31)], 3) is None
    found = spell_on([both[0], spell(2, 15, 25, 0.1)], ON + timedelta(days=16))
    assert found is not None
    assert found.feed_share == pytest.approx(0.1)
    assert len(spells(both)) == 2
