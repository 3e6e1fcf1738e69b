"""Nutrients and leaves on the page: the same as the command line says, and nothing while nothing is known."""

import html
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed import facts
from rillbed.plan.elements.answer import nutrients
from rillbed.plan.elements.ledger import COUNTED, FOLLOWED
from rillbed.plan.elements.symptoms import SIGNS
from rillbed.web import bridge, clock
from rillbed.web.forecasts import ahead, store
from rillbed.web.nutrients.leaf import ANSWERS, TITLES
from rillbed.words import elements as said


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)
        monkeypatch.setattr(store, "QUICK_MEMBERS", 30)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running", shelf=["potassium_sulfate"]))
        self.client.force_login(self.made_up.keeper())

    def add(self, kind: str, payload: dict, days: int = 0) -> None:
        at = clock.now() - timedelta(days=days)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind=kind, payload=payload))

    def grow(self) -> None:
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 80, "unit": "g"}, "group": "fish"}
        self.add("fish_in", told, 35)
        self.add("planted", {"crop": "lettuce_loose", "count": 30, "bed": "bed"}, 20)
        self.add("reading", {"quantity": "k", "unit": "mg/L", "low": 1, "high": 3}, 1)
        store.work_out(self.loop, self.on, "quick")

    def test_it_waits_for_the_forecast_and_says_so(self) -> None:
        answer = self.client.get("/nutrients")
        assert "being worked out" in answer.content.decode()
        assert answer["Refresh"]
        assert "being worked out" in self.client.get("/nutrients/leaves").content.decode()

    def test_it_says_what_the_plan_says(self) -> None:
        self.grow()
        page = html.unescape(self.client.get("/nutrients").content.decode())
        assert "A first answer;" in page
        log = bridge.entries(self.loop)
        forecast = ahead.ahead_of(self.loop, self.on, store.made_with())
        found = nutrients(bridge.first_system(log), log, forecast, self.on)
        assert said.supplements_headline(found.doses).rstrip(".") in page
        for item in found.short:
            assert said.shortage(item) in page
        for account in found.ledger.accounts:
            assert said.element(account.element).capitalize() in page
        behind = page.split("What these amounts stand on")[1].split("</details>")[0]
        assert found.doses.costs
        for cost in found.doses.costs:
            assert facts.supplements()[cost.supply].name in behind
        assert 'class="grade' in behind
        # The reading of yesterday stands but for what came and went since, not the guess of the members.
        k = next(item for item in found.short if item.element == "k")
        row, course = forecast.index(self.on) - 1, forecast.columns["k_mg_l"]
        moved = abs(course[row] - course[row - 1]).max()
        assert k.read_on == self.on - timedelta(days=1)
        assert moved < 0.5
        assert 1.0 - moved - 1e-6 <= k.now_mg_l.low <= k.now_mg_l.high <= 3.0 + moved + 1e-6

    def test_every_element_opens_with_what_it_stands_on(self) -> None:
        self.grow()
        page = html.unescape(self.client.get("/nutrients").content.decode())
        books = page.split('id="h-books"')[1]
        assert books.count("<summary><b>") == 14
        for element in FOLLOWED + COUNTED:
            part = books.split(f"<summary><b>{said.element(element).capitalize()}</b>")[1].split("</details>")[0]
            assert 'class="grade' in part
            assert 'class="formula"' in part

    def test_a_dose_of_it_is_written_once(self) -> None:
        self.grow()
        page = self.client.get("/nutrients").content.decode()
        form = re.search(r'<form id="dose-n-1".*?</form>', page, re.S)
        assert form
        told = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[0].replace("&quot;", "'")))
        told["payload"] = told["payload"].replace("'", '"')
        for _ in range(2):
            assert self.client.post("/done", told)["Location"] == "/nutrients"
        assert [one.kind for one in bridge.entries(self.loop)].count("dosed") == 1
        after = self.client.get("/nutrients").content.decode()
        assert "already." in after
        assert 'id="dose-n-1"' not in after  # no second press
        assert "being worked out anew" in after

    def test_what_was_put_in_by_hand_today_holds_the_plan_back(self) -> None:
        self.grow()
        self.add("dosed", {"substance": "potassium_sulfate", "amount": {"value": 20, "unit": "g"}})
        page = html.unescape(self.client.get("/nutrients").content.decode())
        assert "so read potassium first" in page
        assert "dose-n-" not in page

    def test_leaves_lead_to_causes_with_what_to_look_at_first(self) -> None:
        self.grow()
        page = self.client.get("/nutrients/leaves", {"where": "new", "pattern": "between_veins"}).content.decode()
        assert "Young leaves and yellow between the veins." in page
        assert "What it may be" in page
        assert "First: " in page
        assert "ron" in page.split("What it may be")[1][:400]  # iron leads
        assert page.count('<p class="note"><span class="grade') == page.count('<div class="finding">') > 0
        assert "kentucky_manual" not in page  # works by name, never by key

    def test_an_answer_that_is_none_is_refused_by_name(self) -> None:
        self.grow()
        answer = self.client.get("/nutrients/leaves", {"where": "moon"})
        assert answer.status_code == 400
        assert "moon" in answer.content.decode()

    def test_trouble_hands_yellow_leaves_over(self) -> None:
        page = self.client.get("/trouble", {"leaf": "new", "pattern": "between_veins"}).content.decode()
        assert 'href="/nutrients/leaves?where=new&amp;pattern=between_veins"' in page


def test_every_sign_and_answer_has_a_label():
    assert TITLES.keys() == ANSWERS.keys() == SIGNS.keys()
    for sign, answers in SIGNS.items():
        assert tuple(ANSWERS[sign]) == answers
