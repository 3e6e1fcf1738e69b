"""The page that sizes a loop, and a set-up that begins with what was sized."""

import re
from urllib.parse import urlencode

import pytest
from django.test import TestCase

from rillbed.web.log.models import Loop

ASKED = {
    "start": "appetite", "greens_week": "14", "fish_month": "4", "floor_m2": "80", "floor_m2:unit": "ft2",
    "town": "brisbane", "place": "greenhouse", "species": "nile_tilapia", "bed_kind": "media", "ground": "soil",
    "heater_set_c": "22", "show": "1",
}  # fmt: skip


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.client.force_login(self.made_up.keeper())

    def test_it_asks_in_three_ways(self) -> None:
        for start, field in (
            ("appetite", "greens_week"),
            ("space", "floor_m2"),
            ("fish", "fish_count"),
            ("x", "greens_week"),
        ):
            page = self.client.get("/size", {"start": start}).content.decode()
            assert f'name="{field}"' in page
            assert "Three loops" not in page

    def test_an_answer_shows_three_loops_their_limit_and_the_cautions(self) -> None:
        page = self.client.get("/size", ASKED).content.decode()
        assert page.count('class="limit"') == 3
        assert "Floor space is the limit." in page
        assert re.search(r"Floor with paths</dt><dd>7\.[345]", page)  # 80 square feet are 7.4 m2
        for word in ("Weight.", "Electricity.", "Children.", "Law.", "Nile tilapia.", "First fish at eating size"):
            assert word in page

    def test_what_cannot_be_is_said_at_its_field_and_nothing_typed_is_lost(self) -> None:
        for change, said in (
            ({"greens_week": "lots"}, "Needs a number"),
            ({"greens_week": "-3"}, "above 0"),
            ({"town": "atlantis"}, "Choose one from the list"),
            ({"town": "london", "heater_set_c": "", "place": "outdoors"}, "Dies in water"),
        ):
            answer = self.client.get("/size", ASKED | change)
            page = answer.content.decode()
            assert answer.status_code == 400
            assert said in page
            assert 'aria-invalid="true"' in page
            assert 'value="80"' in page
            assert "rainbow_trout" not in answer.context["where"][2].problem  # kinds are told by their names

    def test_the_set_up_begins_with_the_loop_that_was_chosen(self) -> None:
        page = self.client.get("/size", ASKED).content.decode()
        link = re.search(r'href="(/setup/new\?[^"]*take=middle)"', page)
        assert link
        form = self.client.get(link[1].replace("&amp;", "&")).content.decode()
        assert "brisbane" in form
        assert form.count('name="beds-') > self.client.get("/setup/new").content.decode().count('name="beds-')
        assert re.search(r'name="tanks-1-name" value="sump"', form)
        assert not Loop.objects.exists()

    def test_a_stale_or_wrong_address_still_gives_an_empty_set_up(self) -> None:
        for change in ({"species": "whale"}, {"take": "huge"}, {"start": "nowhere"}):
            answer = self.client.get("/setup/new?" + urlencode(ASKED | {"take": "middle"} | change))
            assert answer.status_code == 200
