"""The dosing bench, the source water, and the verdict beside the test sheet."""

import json
import re
from datetime import timedelta
from html import unescape
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.garden.chains import effective
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.log.models import LogRow


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up, self.monkeypatch = made_up, monkeypatch
        monkeypatch.setattr(store, "MEMBERS", 30)
        monkeypatch.setattr(store, "QUICK_MEMBERS", 30)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=10)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system(startup_path="stocked"))
        self.client.force_login(self.made_up.keeper())

    def add(self, kind: str, payload: dict) -> None:
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind=kind, payload=payload))

    def read(self, quantity: str, low, high=None, unit: str = "mg/L", **more) -> None:
        told = {"quantity": quantity, "unit": unit, "low": low, "high": low if high is None else high}
        self.add("reading", told | more)

    def fish(self) -> None:
        told = {"species": "nile_tilapia", "count": 10, "weight": {"value": 50, "unit": "g"}, "group": "fish"}
        self.add("fish_in", told)

    def page(self, path: str, status: int = 200, **typed) -> str:
        answer = self.client.get(path, typed)
        assert answer.status_code == status
        return answer.content.decode()

    # the bench

    def test_every_question_opens_and_answers_something(self) -> None:
        for key in re.findall(r'href="\?goal=(\w+)"', self.page("/doses")):
            self.page("/doses", goal=key)
            answer = self.client.get(
                "/doses", {"goal": key, "show": "1", "what": "potassium_bicarbonate", "grams": "5"}
            )
            assert answer.status_code in (200, 400), key

    def test_it_asks_for_the_reading_without_which_nothing_is_safe(self) -> None:
        self.fish()
        page = self.page("/doses", goal="raise_alkalinity", show="1")
        assert "Read first." in page
        assert 'name="uuid"' not in page

    def test_a_plan_has_parts_that_are_written_once_when_done(self) -> None:
        self.fish()
        self.read("ph", 6.4, unit="")
        self.read("alkalinity", 0.4, unit="meq/L")
        self.read("tan", 0.0, 0.1, basis="n")
        page = self.page("/doses", goal="raise_ph", target="6.8", show="1")
        assert "Raise pH." in page
        step = re.search(r'<form id="dose-d-1".*?</form>', page, re.S)
        assert step
        told = dict(re.findall(r'name="(\w+)" value="([^"]*)"', step[0].replace("&quot;", "'")))
        told["payload"] = told["payload"].replace("'", '"')
        assert json.loads(told["payload"])["amount"]["unit"] == "g"
        rows = LogRow.objects.count()
        for _ in range(2):
            assert self.client.post("/done", told)["Location"] == "/doses"
        assert LogRow.objects.count() == rows + 1
        assert [one.kind for one in bridge.entries(self.loop)].count("dosed") == 1

    def low(self) -> None:
        self.fish()
        self.read("ph", 6.4, unit="")
        self.read("alkalinity", 0.4, unit="meq/L")
        self.read("tan", 0.0, 0.1, basis="n")

    def steps(self, page: str) -> list[dict[str, str]]:
        forms = re.findall(r'<form id="dose-d-\d+".*?</form>', page, re.S)
        return [{n: unescape(v) for n, v in re.findall(r'name="(\w+)" value="([^"]*)"', one)} for one in forms]

    def later(self, hours: int) -> None:
        """Go on to another hour; the clock of the pages moves by whole days, so the hour is added to it."""
        moment = clock.now() + timedelta(hours=hours)
        self.monkeypatch.setattr(clock, "now", lambda: moment)

    def test_a_part_that_was_done_says_so_and_the_next_stays(self) -> None:
        self.low()
        self.later(1)
        asked = {"goal": "raise_ph", "target": "6.8", "show": "1"}
        before = self.steps(self.page("/doses", **asked))
        assert len(before) == 2  # those of today; what is for tomorrow cannot have been done
        self.client.post("/done", before[0])
        page = self.page("/doses", **(asked | {"with": "", "ph": ""}))  # the same, asked through the form
        assert "In the <a" in page
        assert [one["uuid"] for one in self.steps(page)] == [before[1]["uuid"]]
        assert "read pH first" not in page

    def test_what_went_in_since_the_reading_is_never_given_twice(self) -> None:
        self.low()
        self.later(1)
        asked = {"goal": "raise_ph", "target": "6.8", "show": "1"}
        self.add("dosed", {"substance": "potassium_bicarbonate", "amount": {"value": 12, "unit": "g"}})
        page = self.page("/doses", **asked)
        assert "Since pH was read: put in 12\xa0g of potassium bicarbonate." in page
        assert not self.steps(page)
        assert self.steps(self.page("/doses", **asked, ph="6.5"))  # read just now

    def test_after_a_new_reading_the_same_can_be_done_again_and_is_written(self) -> None:
        self.low()
        self.later(1)
        asked = {"goal": "raise_ph", "target": "6.8", "show": "1"}
        self.client.post("/done", self.steps(self.page("/doses", **asked))[0])
        self.later(1)
        self.read("ph", 6.4, unit="")
        rows = LogRow.objects.count()
        self.client.post("/done", self.steps(self.page("/doses", **asked))[0])
        assert LogRow.objects.count() == rows + 1

    def test_what_was_taken_back_can_be_done_again(self) -> None:
        self.low()
        self.later(1)
        asked = {"goal": "raise_ph", "target": "6.8", "show": "1"}
        first = self.steps(self.page("/doses", **asked))
        self.client.post("/done", first[0])
        self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": first[0]["uuid"]})
        again = self.steps(self.page("/doses", **asked))
        assert len(again) == 2
        self.client.post("/done", again[0])
        standing = [one for one in effective(bridge.entries(self.loop)) if one.kind == "dosed"]
        assert [str(one.uuid) for one in standing] == [again[0]["uuid"]]

    def test_the_bench_of_another_loop_is_not_there(self) -> None:
        other = self.made_up.keeper("other")
        self.made_up.loop(self.made_up.system(name="Loop of the other"), other)
        self.client.force_login(other)
        rows = LogRow.objects.count()
        payload = json.dumps({"substance": "potassium_bicarbonate", "amount": {"value": 5, "unit": "g"}})
        done = {"loop": str(self.loop.pk), "uuid": str(uuid4()), "kind": "dosed", "payload": payload}
        assert self.client.post("/done", done).status_code == 404
        water = {"loop": str(self.loop.pk), "uuid": str(uuid4()), "source_water-na_mg_l": "5"}
        assert self.client.post("/source-water", water).status_code == 404
        assert LogRow.objects.count() == rows

    def test_base_is_refused_while_ammonia_is_high_with_a_way_out(self) -> None:
        self.fish()
        self.read("ph", 6.4, unit="")
        self.read("alkalinity", 0.4, unit="meq/L")
        self.read("tan", 2.0, 4.0, basis="n")
        page = self.page("/doses", goal="raise_ph", show="1")
        assert "Do not do it." in page
        assert 'form="dose-d-1"' not in page

    def test_what_was_read_just_now_counts_for_the_answer(self) -> None:
        self.fish()
        page = self.page("/doses", goal="raise_alkalinity", show="1", ph="6.6", alkalinity="1", tan="0", target="4")
        assert "Raise alkalinity." in page
        assert "It brings" in page

    def test_so_much_of_something(self) -> None:
        self.fish()
        typed = {"goal": "add", "what": "potassium_bicarbonate", "ph": "7", "alkalinity": "4", "tan": "0", "show": "1"}
        fine = self.page("/doses", grams="3", **typed)
        assert "within what one day allows" in fine
        assert 'form="dose-d-1"' in fine
        much = self.page("/doses", grams="3000", **typed)
        assert "not so" in much
        assert "Too much at once" in much
        assert 'form="dose-d-1"' not in much
        assert "Do not do it" in self.page("/doses", **(typed | {"what": "vinegar", "grams": "10"}))

    def test_what_cannot_be_is_said_at_its_field_and_kept(self) -> None:
        for typed, said in (
            ({"goal": "add", "what": "potassium_bicarbonate", "grams": "a spoon"}, "Needs a number"),
            ({"goal": "raise_ph", "target": "-2"}, "Must be above 0"),
            ({"goal": "raise_ph", "ph": "99"}, "Must be from 3 to 12"),
            ({"goal": "supplement"}, "Say of at least one"),
            ({"goal": "raise_ph", "with": "moon_dust", "ph": "6", "alkalinity": "1", "tan": "0"}, "moon_dust"),
        ):
            page = self.page("/doses", 400, show="1", **typed)
            assert said in page, typed

    # the source water

    def test_nobody_knows_its_chlorine_so_it_is_treated(self) -> None:
        page = self.page("/source-water")
        assert "Treat it against chlorine and chloramine" in page
        assert "Not known: " in page

    def test_it_is_kept_in_the_set_up_and_changes_the_verdict(self) -> None:
        told = {"uuid": str(uuid4()), "source_water-free_chlorine_mg_l": "0", "source_water-chloramine_mg_l": "2",
                "source_water-na_mg_l": "80", "source_water-alkalinity_meq_l": "8", "kind": "mains"}  # fmt: skip
        answer = self.client.post("/source-water", told)
        assert answer["Location"] == "/source-water?kind=mains"
        kept = bridge.standing_system(self.loop).source_water
        assert kept.chloramine_mg_l == 2.0
        assert kept.alkalinity_meq_l == pytest.approx(8 / 2.8, rel=0.01)  # German degrees by default
        page = self.page("/source-water")
        assert "sodium thiosulfate" in page
        assert "Chloramine" in page

    def test_an_impossible_source_water_is_refused_and_nothing_is_stored(self) -> None:
        rows = LogRow.objects.count()
        for name, value in (("ph", "99"), ("na_mg_l", "-1"), ("ca_mg_l", "lots")):
            answer = self.client.post("/source-water", {"uuid": str(uuid4()), f"source_water-{name}": value})
            assert answer.status_code == 400
            assert 'aria-invalid="true"' in answer.content.decode()
            assert f'value="{value}"' in answer.content.decode()
        assert self.client.post("/source-water", {"uuid": str(uuid4()), "copper_mg_l": "-1"}).status_code == 400
        assert LogRow.objects.count() == rows

    # the verdict

    def test_a_toxic_reading_stands_first_with_what_helps(self) -> None:
        self.fish()
        self.read("tan", 4.0, 5.0, basis="n")
        self.read("ph", 8.4, unit="")
        self.read("no2", 1.0, 2.0, basis="n")
        page = self.page("/water")
        assert "Toxic ammonia (un-ionised, as N): danger: act now" in page
        assert 'href="/doses?goal=dilute&amp;show=1"' in page
        assert page.index("Toxic ammonia (un-ionised, as N) <em>") < page.index("Nitrite (as N) <em>")

    def test_what_was_not_read_is_never_called_a_danger_outright(self) -> None:
        self.fish()
        store.work_out(self.loop, self.on, "quick")
        page = self.page("/water")
        assert "Nothing was read lately." in page or "Nothing read so far is out of place." in page
        for level in re.findall(r"<em>(.*?)</em>", page.split('id="h-say"')[1]):
            assert level == "fine" or level.startswith("not read")

    def test_without_any_reading_it_says_so(self) -> None:
        assert "Nothing is known of the water yet." in self.page("/water")
        self.fish()
        store.work_out(self.loop, self.on, "quick")
        assert "Nothing was read lately." in self.page("/water")

    def test_a_stale_reading_says_its_age(self) -> None:
        self.fish()
        self.read("tan", 0.2, 0.4, basis="n")
        clock.pretend(self.on + timedelta(days=5))
        assert "read 5 days ago" in self.page("/water")

    def test_an_unknown_basis_is_asked_for(self) -> None:
        self.fish()
        self.read("no3", 40.0)
        assert "the element or the whole ion" in self.page("/water")

    def test_the_forecast_that_is_kept_speaks_for_the_buffer(self) -> None:
        self.fish()
        self.read("alkalinity", 1.0, unit="meq/L")
        assert "How long the buffer lasts" not in self.page("/water")
        store.work_out(self.loop, self.on)
        assert "How long the buffer lasts" in self.page("/water")
