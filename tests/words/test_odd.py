"""Questions about readings that nothing foresaw fit the thing that was read."""

from datetime import date

import pytest

from rillbed.plan.learned import Question
from rillbed.words import learned


@pytest.mark.parametrize(
    ("quantity", "event", "asked"),
    [
        ("ec", "more_came_in", "salt or a supplement"),
        ("k", "more_came_in", "salt or a supplement"),
        ("no3", "more_came_in", "feed or a dead fish"),
        ("ec", "water_left", "of water leave"),
    ],
)
def test_what_is_asked(quantity, event, asked):
    item = Question((), date(2031, 4, 1), quantity, 0.3, 0.5, 0.2, event, 0.3, 100.0, True)
    assert asked in learned.question(item)
