"""The fish on a page: ration, growth against weighings, what comes to bind, and a loop without any."""

import html
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed import words
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.client.force_login(self.made_up.keeper())

    def begin(self, **more) -> None:
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running", heater_set_c=26, **more))

    def log(self, kind: str, days_ago: int, payload: dict) -> None:
        at = clock.now() - timedelta(days=days_ago)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind=kind, payload=payload))

    def page(self) -> str:
        store.work_out(self.loop, self.on)
        return html.unescape(self.client.get("/fish").content.decode())

    def test_without_fish_it_says_where_to_go_and_minds_the_law(self) -> None:
        self.begin()
        page = self.page()
        assert "No fish swim in it." in page
        assert "fisheries office" in page

    def test_a_group_shows_ration_growth_weighings_and_kilograms(self) -> None:
        self.begin(feed="pellet_32")
        fish = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "the big ones"}
        self.log("fish_in", 35, fish)
        for ago in (30, 20, 10):
            self.log("feeding", ago, {"feed": "pellet_32", "amount": {"value": 300, "unit": "g"}})
        self.log("fish_weighed", 34, {"group": "the big ones", "total": {"value": 605, "unit": "g"}, "count": 5})
        self.log("fish_weighed", 2, {"group": "the big ones", "total": {"value": 755, "unit": "g"}, "count": 5})
        page = self.page()
        assert "<h1>20 Nile tilapia</h1>" in page
        assert "The big ones" in page
        assert "1.5 g, as logged" in page  # 900 g of feed for 20 fish of 30 g more
        assert 'id="t-growth"' in page
        assert "151" in page
        assert "oxygen carries" in page
        told = store.latest(self.loop, self.on).today
        assert told is not None
        rations = [words.sentence(item).title for item in told.advice if item.code.startswith("feed.")]
        assert rations
        assert all(title in page for title in rations)

    def test_too_many_for_the_tanks_are_said_first(self) -> None:
        self.begin()
        self.log("fish_in", 5, {"species": "nile_tilapia", "count": 80, "weight": {"value": 600, "unit": "g"}})
        told = self.page()
        found = store.latest(self.loop, self.on).fish
        assert found is not None
        assert found.verdict[0].code in ("shoal.over_density", "shoal.over_oxygen")
        assert told.index("from then on") < told.index("The days ahead")

    def test_another_keepers_fish_do_not_exist(self) -> None:
        self.begin()
        self.client.force_login(self.made_up.keeper("other"))
        assert "Nile" not in self.client.get("/fish", follow=True).content.decode()
