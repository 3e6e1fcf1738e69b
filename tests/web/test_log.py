import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.garden.chains import effective
from rillbed.garden.fold import state_at
from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow


class Page(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.system = self.made_up.system()
        self.loop = self.made_up.loop(self.system)
        self.client.force_login(self.made_up.keeper())

    def write(self, kind: str, **payload: object) -> str:
        key = str(uuid4())
        self.client.post("/done", {"uuid": key, "kind": kind, "payload": json.dumps(payload)})
        assert LogRow.objects.filter(uuid=key).exists()
        return key

    def counting(self) -> list[str]:
        return [entry.kind for entry in effective(bridge.entries(self.loop))]

    def tan(self) -> tuple[float | None, float | None]:
        state = state_at(self.system, bridge.entries(self.loop), self.on)
        return state.last_reading("tan").reading.interval

    def read(self, step: str, **more: str) -> str:
        at = (clock.now() - timedelta(minutes=3)).strftime("%Y-%m-%dT%H:%M")
        self.client.post("/water", {"uuid": uuid4(), "at": at, "step:ammonia card": step} | more)
        return str(LogRow.objects.filter(kind="reading").latest("pk").uuid)

    def test_the_log_lists_what_happened(self) -> None:
        self.write("note", text="the pump hums")
        page = self.client.get("/log").content.decode()
        assert "the pump hums" in page
        assert "Set up: Made-up loop" in page
        assert "Set up: Made-up loop" not in self.client.get("/log?only=Notes").content.decode()

    def test_the_list_is_filtered_by_family_and_by_kind(self) -> None:
        self.write("note", text="the pump hums")
        self.write("temperature", value=22.5)
        self.write("cleaned", what="bed", fraction=0.5)
        for only, seen in (
            ("only=temperature", {"22.5"}),
            ("only=Notes&only=temperature", {"22.5", "the pump hums"}),
            ("only=Upkeep&only=", {"Cleaned bed"}),
            ("only=nonsense", {"22.5", "the pump hums", "Cleaned bed"}),
        ):
            page = self.client.get(f"/log?{only}").content.decode().split('id="entries"')[1]
            assert {said for said in ("22.5", "the pump hums", "Cleaned bed") if said in page} == seen, only

    def test_taking_back_equals_never_having_made_it(self) -> None:
        key = self.write("temperature", value=30.0)
        form = {"uuid": str(uuid4()), "entry": [key], "next": "today"}
        for _ in range(2):
            assert self.client.post("/log/withdraw", form)["Location"] == "/"
        assert self.counting() == ["set_up"]
        assert LogRow.objects.filter(kind="withdrawn").count() == 1
        assert "Taken back, by keeper" in self.client.get("/log").content.decode()

    def test_the_set_up_cannot_be_taken_back_from_under_the_log(self) -> None:
        key = str(LogRow.objects.get(kind="set_up").uuid)
        answer = self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]}, follow=True)
        assert "Nothing was taken back" in answer.content.decode()
        assert self.counting() == ["set_up"]

    def test_a_reading_is_corrected_with_the_steps_of_its_kit(self) -> None:
        key = self.read("0.5", **{"dilution:ammonia card": "2"})
        assert self.tan() == (0.7, 1.5)
        page = self.client.get(f"/log/{key}/correct").content.decode()
        assert 'name="step:ammonia card" value="5"' in page
        form = {"uuid": str(uuid4()), "step:ammonia card": "1"}
        assert self.client.post(f"/log/{key}/correct", form)["Location"] == "/log"
        assert self.tan() == (1.5, 3.0)
        assert LogRow.objects.filter(kind="reading").count() == 2

    def test_of_two_corrections_the_later_counts(self) -> None:
        key = self.read("0.5")
        for step in ("1", "2"):
            last = str(LogRow.objects.filter(kind="reading").latest("pk").uuid)
            self.client.post(f"/log/{last}/correct", {"uuid": str(uuid4()), "step:ammonia card": step})
        assert self.tan() == (1.5, 3.5)
        self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]})
        assert self.counting() == ["set_up"]

    def test_amount_and_time_are_corrected(self) -> None:
        key = self.write("water_changed", volume={"value": 60, "unit": "L"})
        page = self.client.get(f"/log/{key}/correct").content.decode()
        assert 'name="volume" value="60"' in page
        assert 'name="treated" value="1" checked' in page
        at = (clock.now() - timedelta(days=1)).strftime("%Y-%m-%dT%H:%M")
        self.client.post(
            f"/log/{key}/correct", {"uuid": str(uuid4()), "volume": "20", "volume:unit": "gal_us", "at": at}
        )
        (entry,) = (one for one in effective(bridge.entries(self.loop)) if one.kind == "water_changed")
        assert entry.payload.litres == pytest.approx(75.708, abs=1e-3)
        assert not entry.payload.treated
        assert self.system.day_of(entry.at) == self.on - timedelta(days=1)

    def test_a_bad_correction_says_what_is_allowed_and_stores_nothing(self) -> None:
        key = self.write("water_changed", volume={"value": 60, "unit": "L"})
        answer = self.client.post(f"/log/{key}/correct", {"uuid": str(uuid4()), "volume": "-3"})
        assert answer.status_code == 400
        assert "Must be more than 0" in answer.content.decode()
        assert LogRow.objects.filter(kind="water_changed").count() == 1

    def test_what_is_gone_or_unknown_cannot_be_corrected(self) -> None:
        assert self.client.get(f"/log/{uuid4()}/correct").status_code == 404
        key = self.write("note", text="x")
        self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]})
        assert self.client.get(f"/log/{key}/correct").status_code == 404
