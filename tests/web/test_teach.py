"""The lesson page, its link for everybody, and what that link does not open."""

import re

import pytest
from django.test import Client, TestCase

from rillbed.plan.lesson import Settings
from rillbed.web.teach.form import opened, token_of


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.client.force_login(self.made_up.keeper())

    def test_it_answers_to_its_sliders(self) -> None:
        first = self.client.get("/lesson").content.decode()
        bare = self.client.get("/lesson", {"bed_m2": "0"}).content.decode()
        assert "Without a bed all nitrate stays in the water." in bare
        assert "Without a bed" not in first
        assert 'aria-label="Nitrate, mg/L as N, over ninety days.' in first

    def test_a_wrong_setting_is_named_and_the_lesson_still_stands(self) -> None:
        for wrong in ({"fish": "nan"}, {"fish": "inf"}, {"temp_c": "nan"}, {"feed_g_day": "1e400"}):
            assert self.client.get("/lesson", wrong).status_code == 400
        answer = self.client.get("/lesson", {"temp_c": "99"})
        assert answer.status_code == 400
        assert "temp_c" in answer.content.decode()
        assert "Ammonia is highest" in answer.content.decode()

    def test_the_loop_of_the_keeper_can_be_used(self) -> None:
        self.made_up.loop(self.made_up.system())
        page = self.client.get("/lesson").content.decode()
        assert "litres=900&amp;" in page
        assert "bed_kind=raft" in page

    def test_the_link_opens_the_lesson_to_anybody_and_nothing_else(self) -> None:
        self.made_up.loop(self.made_up.system())
        page = self.client.get("/lesson", {"feed_g_day": "45"}).content.decode()
        link = re.search(r'value="http://testserver(/lesson/[^"]+)"', page)
        assert link
        nobody = Client()
        shared = nobody.get(link[1])
        text = shared.content.decode()
        assert shared.status_code == 200
        assert "45\N{NO-BREAK SPACE}g a day" in text
        assert "Made-up loop" not in text
        assert "Read-only link" not in text
        assert shared["X-Robots-Tag"] == "noindex"
        assert nobody.get("/lesson").status_code == 302
        moved = nobody.get(link[1], {"bed_m2": "0"}).content.decode()
        assert "Without a bed" in moved

    def test_a_made_up_or_changed_link_does_not_exist(self) -> None:
        token = token_of(Settings())
        assert opened(token) == Settings()
        assert opened(token[:-2] + "xx") is None
        assert Client().get("/lesson/" + token[:-2] + "xx").status_code == 410
        assert Client().get("/lesson/anything").status_code == 410
