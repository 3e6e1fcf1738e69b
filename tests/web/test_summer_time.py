"""Loops where clocks are put forward and back: one hour of the year is missing and one comes twice.

Berlin in 2031: 02:00 to 03:00 is missing on 30 March, and comes twice on 26 October (IANA time zone database).
"""

from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import TestCase

from rillbed.garden.fold import state_at
from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow
from rillbed.web.water.when import parsed

ZONE = ZoneInfo("Europe/Berlin")
SPRING, AUTUMN = date(2031, 3, 30), date(2031, 10, 26)
FEED = "pellet_32"


@pytest.fixture
def berlin(made_up):
    return made_up.system(time_zone="Europe/Berlin", started_on=date(2031, 3, 1))


def test_a_time_that_no_clock_showed_is_the_one_an_hour_later(berlin, monkeypatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: datetime(2031, 4, 1, tzinfo=UTC))
    at = parsed(berlin, "2031-03-30T02:30")
    assert at == datetime(2031, 3, 30, 1, 30, tzinfo=UTC)
    assert clock.local(berlin, at).strftime("%H:%M") == "03:30"


@pytest.mark.parametrize(
    ("now", "meant"),
    [
        (datetime(2031, 10, 26, 0, 31, tzinfo=UTC), datetime(2031, 10, 26, 0, 30, tzinfo=UTC)),
        (datetime(2031, 10, 26, 1, 31, tzinfo=UTC), datetime(2031, 10, 26, 1, 30, tzinfo=UTC)),
    ],
    ids=["first time", "second time"],
)
def test_of_an_hour_that_comes_twice_the_last_that_has_been_is_meant(berlin, monkeypatch, now, meant) -> None:
    monkeypatch.setattr(clock, "now", lambda: now)
    at = parsed(berlin, "2031-10-26T02:30")
    assert at == meant
    assert clock.local(berlin, at).strftime("%H:%M") == "02:30"


@pytest.mark.parametrize(("on", "hours"), [(SPRING, 23), (AUTUMN, 25)])
def test_a_day_ends_at_midnight_of_the_place_however_long_it_is(berlin, on, hours) -> None:
    begun = datetime.combine(on - timedelta(days=1), time(), UTC)
    quarters = [begun + timedelta(minutes=15 * n) for n in range(4 * 72)]
    assert sum(berlin.day_of(at) == on for at in quarters) == 4 * hours


@pytest.mark.parametrize("on", [SPRING, AUTUMN])
def test_fed_today_counts_from_midnight_to_midnight(berlin, on) -> None:
    def fed(day: date, hour: int, minute: int, grams: float):
        at = datetime.combine(day, time(hour, minute), ZONE)
        payload = {"feed": FEED, "amount": {"value": grams, "unit": "g"}}
        return bridge.written(uuid=uuid4(), at=at, author="keeper", kind="feeding", payload=payload)

    before, after = on - timedelta(days=1), on + timedelta(days=1)
    log = [fed(before, 23, 50, 1), fed(on, 0, 10, 2), fed(on, 2, 30, 4), fed(on, 23, 50, 8), fed(after, 0, 10, 16)]
    assert [state_at(berlin, log, day).fed_g_today for day in (before, on, after)] == [1, 14, 16]


class Twice(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, berlin, monkeypatch) -> None:
        self.made_up, self.system, self.monkeypatch = made_up, berlin, monkeypatch

    def test_what_is_sent_twice_in_such_an_hour_is_stored_once(self) -> None:
        self.made_up.loop(self.system)
        self.client.force_login(self.made_up.keeper())
        for now, typed in (
            (datetime(2031, 3, 30, 1, 31, tzinfo=UTC), "2031-03-30T02:30"),
            (datetime(2031, 10, 26, 1, 31, tzinfo=UTC), "2031-10-26T02:30"),
        ):
            self.monkeypatch.setattr(clock, "now", lambda now=now: now)
            form = {"uuid": str(uuid4()), "at": typed, "feed": FEED, "amount": "5", "amount-unit": "g"}
            for _ in range(2):
                answer = self.client.post("/log/add/feeding", form)
                assert answer.status_code == 302, answer.content.decode()
            (row,) = LogRow.objects.filter(kind="feeding", at__date=now.date())
            assert row.at == now - timedelta(minutes=1)

    def test_a_correction_leaves_an_untouched_time_in_its_own_hour(self) -> None:
        loop = self.made_up.loop(self.system)
        self.client.force_login(self.made_up.keeper())
        self.monkeypatch.setattr(clock, "now", lambda: datetime(2031, 10, 27, 9, tzinfo=UTC))
        first = datetime(2031, 10, 26, 0, 30, 20, tzinfo=UTC)
        payload = {"feed": FEED, "amount": {"value": 5, "unit": "g"}}
        wrong = bridge.written(uuid=uuid4(), at=first, author="keeper", kind="feeding", payload=payload)
        bridge.add(loop, wrong)
        form = {"uuid": str(uuid4()), "at": "2031-10-26T02:30", "feed": FEED, "amount": "6", "amount-unit": "g"}
        assert self.client.post(f"/log/{wrong.uuid}/correct", form).status_code == 302
        assert LogRow.objects.get(uuid=form["uuid"]).at == first
