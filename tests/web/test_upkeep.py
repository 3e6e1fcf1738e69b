"""The page of upkeep: jobs that are pressed once, and what becomes of them."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def button(self, page: str, title: str) -> dict[str, str]:
        item = next(one for one in page.split("<li>") if title in one and 'name="uuid"' in one)
        return {name: value.replace("&quot;", '"') for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', item)}

    def test_what_the_log_does_not_know_waits_apart(self) -> None:
        page = self.client.get("/upkeep").content.decode()
        assert "Not in the log yet" in page
        assert "Press the test button" in page
        assert "age not in the log" in page

    def test_done_is_written_once_and_gives_the_next_time(self) -> None:
        told = self.button(self.client.get("/upkeep").content.decode(), "Open and clean the pump")
        rows = LogRow.objects.count()
        for _ in range(2):
            answer = self.client.post("/done", told)
            assert answer.status_code == 302
            assert answer["Location"] == "/upkeep"
        assert LogRow.objects.count() == rows + 1
        page = self.client.get("/upkeep").content.decode()
        assert "Today by keeper" in page
        assert "60 to 100 days" in page
        assert "Open and clean the pump" not in page.split("Not in the log yet")[1].split("The next six weeks")[0]

    def test_a_large_clean_moves_out_of_the_way_of_days_away_on_page_and_week_sheet(self) -> None:
        bed = [{"name": "gravel", "kind": "media", "area_m2": 2.0}]
        loop = self.made_up.loop(self.made_up.system(name="Gravel", beds=bed), self.made_up.keeper("other"))
        self.client.force_login(self.made_up.keeper("other"))

        def write(kind: str, days: int, **told: object) -> None:
            at = clock.now() + timedelta(days=days)
            bridge.add(loop, bridge.written(uuid=uuid4(), at=at, author="k", kind=kind, payload=told))

        for days in (-39, -30, -21, -12, -3):
            write("upkeep", days, job="clean_bed")  # its own gaps: every nine days
        assert "Rinse the dirtiest third" in self.client.get("/paper/week").content.decode()
        first, last = (self.on + timedelta(days=n) for n in (7, 9))
        write("away", 0, name="Half term", first=first, last=last, feed_share=0.5, by="Ann")
        page = self.client.get("/upkeep").content.decode().replace("\u00a0", " ")
        assert "After Half term, not before" in page
        assert "bacteria leave with a large clean" in page
        assert "Rinse the dirtiest third" not in self.client.get("/paper/week").content.decode()

    def test_a_done_never_leads_elsewhere(self) -> None:
        told = self.button(self.client.get("/upkeep").content.decode(), "Open and clean the pump")
        answer = self.client.post("/done", told | {"back": "//elsewhere.invalid"})
        assert answer["Location"] == "/"
