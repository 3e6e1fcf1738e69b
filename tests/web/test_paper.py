"""Sheets to print."""

import html
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.trouble.asking import BEGIN


class Sheets(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.client.force_login(self.made_up.keeper())
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running", heater_set_c=25, feed="pellet_32"))
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "fish"}
        at = clock.now() - timedelta(days=35)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="fish_in", payload=told))

    def sheet(self, path: str, status: int = 200) -> str:
        answer = self.client.get(path)
        assert answer.status_code == status
        return html.unescape(answer.content.decode())

    def test_all_sheets_are_listed(self) -> None:
        page = self.sheet("/paper")
        for path in ("/paper/week", "/paper/log", "/paper/cards", "/oxygen/card", "/trouble/sheet"):
            assert f'href="{path}"' in page, path

    def test_the_week_has_seven_days_with_feed_and_tests(self) -> None:
        store.work_out(self.loop, self.on)
        page = self.sheet("/paper/week")
        assert page.count('<th scope="row">') >= 7
        assert page.count("☐ Feed") == 7
        assert "☐ Test" in page

    def test_the_log_has_a_column_for_every_test(self) -> None:
        page = self.sheet("/paper/log")
        for kit in bridge.standing_system(self.loop).kits:
            assert ", ".join(f"{step:g}" for step in kit.steps) in page

    def test_steps_are_written_with_the_readers_sign(self) -> None:
        page = self.client.get("/paper/log", headers={"accept-language": "de-DE"}).content.decode()
        assert "<dd>0; 0,1; 0,2; 0,5; 1; 2; 5</dd>" in page

    def test_there_is_a_card_for_each_kind_of_trouble(self) -> None:
        page = self.sheet("/paper/cards")
        for title, _ in BEGIN:
            assert title in page
        assert "WHEN THE AIR STOPS" in page

    def test_whoever_minds_it_gets_grams_a_day_and_the_keeper_how_to_begin_again(self) -> None:
        first, last = self.on + timedelta(days=3), self.on + timedelta(days=12)
        assert "still being worked out" in self.sheet(f"/paper/away?first={first}&last={last}")
        store.work_out(self.loop, self.on)
        for share in ("0", "0.5"):
            assert "being worked out" in self.sheet(f"/paper/away?first={first}&last={last}&share={share}")
        assert self.made_up.days_away(self.loop, self.on) == 2, "no share asked for is none"
        none = self.sheet(f"/paper/away?first={first}&last={last}&share=0")
        assert none.count("☐ no feed") == 10
        assert "Begin with" in none
        half = self.sheet(f"/paper/away?first={first}&last={last}&share=0.5")
        assert half.count("at each of") == 10

    def test_days_that_cannot_be_are_said_at_their_field(self) -> None:
        store.work_out(self.loop, self.on)
        page = self.sheet(f"/paper/away?first={self.on}&last={self.on}", 400)
        assert "after" in page
        assert f'value="{self.on}"' in page
        assert "such as" in self.sheet("/paper/away?first=soon&last=later", 400)
