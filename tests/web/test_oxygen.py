"""Hours of oxygen on the page: at once, from whatever is known, and as a card."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.garden.errors import GardenError
from rillbed.tongue import speaking, tongue
from rillbed.web import bridge, clock
from rillbed.web.oxygen.form import ahead_of


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=10))
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def fish(self, count: int = 30) -> None:
        payload = {"species": "nile_tilapia", "count": count, "weight": {"value": 200, "unit": "g"}, "group": "fish"}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="fish_in", payload=payload))

    def test_without_fish_it_says_so(self) -> None:
        page = self.client.get("/oxygen").content.decode()
        assert "nothing breathes here yet" in page

    def test_it_answers_before_any_forecast_is_there(self) -> None:
        self.fish()
        page = self.client.get("/oxygen").content.decode()
        assert "last" in page
        assert "at worst." in page
        assert page.index("Stop feeding") < page.index("Battery air into tank")
        assert "Start a generator, outdoors only" in page
        assert "Hours until fish in tank fail." in page

    def test_warmth_and_less_oxygen_shorten_the_time(self) -> None:
        self.fish()

        def minutes(**typed: str) -> str:
            return self.client.get("/oxygen", typed).context["page"].verdict

        assert minutes(temp="20") != minutes(temp="32")
        assert minutes(oxygen="8") != minutes(oxygen="4")

    def test_days_ahead_are_read_and_judged(self) -> None:
        self.fish()
        page = self.client.get("/oxygen", {"ahead": "31\n24-39"}).content.decode()
        assert "Today: air 31°C" in page
        assert "Tomorrow: air 24 to 39°C" in page

    def test_what_cannot_be_is_said_at_its_field_and_the_answer_still_stands(self) -> None:
        self.fish()
        for typed, said in (
            ({"temp": "hot"}, "Needs a number"),
            ({"ahead": "warm"}, "Write a mean such as 31"),
            ({"temp": "90"}, "Must be from 0 to 40 °C"),
            ({"oxygen": "31"}, "Must be from 0 to 30 mg/L"),
            ({"ahead": "57"}, "Must be from -40 to 55 °C"),
        ):
            answer = self.client.get("/oxygen", typed)
            assert answer.status_code == 400
            assert said in answer.content.decode(), typed
            assert "at worst." in answer.content.decode()

    def test_the_card_holds_the_order_and_the_cautions(self) -> None:
        self.fish()
        page = self.client.get("/oxygen/card", {"temp": "30"}).content.decode()
        assert "WHEN THE AIR STOPS" in page
        assert "[ ] At once: Stop feeding" in page
        assert "!" in page


def test_days_are_read_as_people_write_them():
    assert ahead_of({}) == ()
    assert ahead_of({"ahead": "22:34; 30"}) == ((22.0, 34.0), 30.0)
    assert ahead_of({"ahead": "34 to 22"}) == ((22.0, 34.0),)
    with speaking(tongue(["de-DE"])):
        assert ahead_of({"ahead": "31,5, 22,5-34; 30.5 °C"}) == (31.5, (22.5, 34.0), 30.5)
    for wrong in ("x", "99", "1\n" * 15, "31,5", "22,5-34", "1,500.0"):
        with pytest.raises(GardenError):
            ahead_of({"ahead": wrong})
