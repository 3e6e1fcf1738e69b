"""A calendar for a phone: one address each, once shown, closed for good, read by a library of its own."""

import re
from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.test import Client, TestCase
from icalendar import Calendar

from rillbed.tongue import ENGLISH, speaking
from rillbed.web import bridge, clock
from rillbed.web.calendar.models import Feed
from rillbed.web.calendar.written import items, written


class Calendars(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.client.force_login(self.made_up.keeper())
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running"))

    def address(self) -> str:
        page = self.client.post("/calendar").content.decode()
        found = re.search(r'value="http://[^/]+(/calendar/[^"]+\.ics)"', page)
        assert found is not None
        return found.group(1)

    def events(self, path: str) -> list:
        answer = Client().get(path)  # a calendar program is not signed in
        assert answer.status_code == 200
        assert answer["Content-Type"].startswith("text/calendar")
        return list(Calendar.from_ical(answer.content).walk("VEVENT"))

    def test_the_page_lists_what_comes(self) -> None:
        page = self.client.get("/calendar").content.decode()
        assert "Test ammonia" in page
        assert ".ics" not in page  # made only when asked for

    def test_the_address_gives_all_day_entries_and_keeps_them_the_same(self) -> None:
        path = self.address()
        found = self.events(path)
        assert found
        for one in found:
            begin, end = one.decoded("dtstart"), one.decoded("dtend")
            assert type(begin) is date
            assert begin < end
            assert begin <= self.on + timedelta(days=41)
            assert end > self.on
            assert "Feed" not in str(one["summary"])
        assert any("Test" in str(one["summary"]) for one in found)
        keys = {str(one["uid"]) for one in found}
        assert len(keys) == len(found)
        assert {str(one["uid"]) for one in self.events(path)} == keys

    def test_it_says_in_which_language_its_entries_are(self) -> None:
        """RFC 5545, 3.2.10: LANGUAGE is a tag of RFC 5646; the maker's name ends in a code of ISO 639."""
        found = items([self.loop])
        for tag, code in (("en", "EN"), ("pt-BR", "PT")):
            with speaking(replace(ENGLISH, language=tag)):
                told = Calendar.from_ical(written(found, clock.now()))
            assert told["prodid"] == f"-//Rillbed//Calendar//{code}"
            assert {one["summary"].params["LANGUAGE"] for one in told.walk("VEVENT")} == {tag}

    def test_a_test_that_was_logged_moves_on(self) -> None:
        path = self.address()
        first = min(one.decoded("dtstart") for one in self.events(path) if "Test ammonia" in str(one["summary"]))
        assert first == self.on
        told = {"quantity": "tan", "low": 0, "high": 0.25, "unit": "mg/L", "basis": "n"}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="reading", payload=told))
        after = min(one.decoded("dtstart") for one in self.events(path) if "ammonia" in str(one["summary"]))
        assert after > self.on

    def test_another_address_closes_the_first_and_closing_closes_both(self) -> None:
        first = self.address()
        second = self.address()
        assert Client().get(first).status_code == 410
        assert Client().get(second).status_code == 200
        assert self.client.post("/calendar/close").status_code == 302
        assert Client().get(second).status_code == 410
        assert Client().get("/calendar/guessed.ics").status_code == 410
        assert all(row.digest not in second for row in Feed.objects.all())

    def test_whoever_leaves_a_loop_reads_no_more_of_it(self) -> None:
        path = self.address()
        self.loop.keepers.all().delete()
        assert self.events(path) == []
