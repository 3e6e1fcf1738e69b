"""Rules by which events of a calendar repeat, against the library that follows RFC 5545, and never for long."""

import time
from datetime import date, datetime

import pytest
from dateutil.rrule import rrulestr
from icalendar import vRecur

from rillbed.web.away.rules import repeated

WALL, UNTIL = date(2028, 2, 29), date(2033, 3, 15)


def days(text: str, wall: date = WALL, begin: date = WALL) -> list[date]:
    return list(repeated(vRecur.from_ical(text), wall, begin, UNTIL))


@pytest.mark.parametrize("wall", [WALL, date(2028, 1, 31), date(2027, 11, 25)])
@pytest.mark.parametrize(
    "text",
    [
        "FREQ=YEARLY", "FREQ=YEARLY;INTERVAL=2", "FREQ=YEARLY;BYMONTH=11;BYDAY=4TH", "FREQ=YEARLY;BYDAY=-1FR",
        "FREQ=YEARLY;BYDAY=20MO", "FREQ=YEARLY;BYMONTH=3,4", "FREQ=YEARLY;BYMONTHDAY=-1", "FREQ=YEARLY;COUNT=3",
        "FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=25", "FREQ=YEARLY;BYMONTH=5;BYDAY=MO", "FREQ=MONTHLY",
        "FREQ=MONTHLY;COUNT=5",
        "FREQ=MONTHLY;INTERVAL=5", "FREQ=MONTHLY;BYDAY=2TU,-1SU", "FREQ=MONTHLY;BYMONTHDAY=13;BYDAY=FR",
        "FREQ=WEEKLY", "FREQ=WEEKLY;BYDAY=SA,SU", "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU,MO",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU,MO;WKST=SU", "FREQ=WEEKLY;COUNT=7;BYDAY=TU,TH", "FREQ=WEEKLY;BYMONTH=6",
        "FREQ=DAILY", "FREQ=DAILY;INTERVAL=10", "FREQ=DAILY;COUNT=9", "FREQ=DAILY;BYMONTH=12;BYDAY=SA",
    ],
)  # fmt: skip
def test_days_are_those_of_the_library(text: str, wall: date) -> None:
    wanted = rrulestr(text, dtstart=datetime(wall.year, wall.month, wall.day))
    expected = [one.date() for one in wanted.between(datetime(2020, 1, 1), datetime(2033, 3, 15), inc=True)]
    assert expected
    assert days(text, wall, wall) == expected
    begin = date(2030, 6, 1)
    assert days(text, wall, begin) == [day for day in expected if day >= begin]


def test_a_rule_that_no_day_fits_ends_at_once() -> None:
    begun = time.perf_counter()
    assert days("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30") == []
    assert list(repeated(vRecur.from_ical("FREQ=YEARLY"), date(1, 1, 1), date(2030, 6, 1), date(2031, 7, 1)))
    assert time.perf_counter() - begun < 1.0


@pytest.mark.parametrize(
    "text", ["FREQ=HOURLY", "FREQ=YEARLY;BYWEEKNO=20", "FREQ=WEEKLY;INTERVAL=0", "FREQ=MONTHLY;BYDAY=MO;BYSETPOS=1"]
)
def test_what_is_not_gone_through_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"FREQ|rule"):
        days(text)


def test_a_number_of_times_is_not_counted_from_long_ago() -> None:
    with pytest.raises(ValueError, match="rule"):
        days("FREQ=DAILY;COUNT=90000", date(1990, 1, 1), date(2030, 1, 1))
