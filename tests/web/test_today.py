import json
from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.db import connection
from django.test import TestCase
from django.test.utils import CaptureQueriesContext

from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.plan.advice import Advice, Reason, Urgency
from rillbed.plan.answers import Band, Today
from rillbed.plan.outlook import Outlook
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.forecasts.codec import freeze, thaw
from rillbed.web.forecasts.models import StoredForecast
from rillbed.web.log.models import LogRow
from rillbed.web.today import jobs

DOSE = Advice(
    "cycle.dose",
    "dose",
    amount=7.6,
    unit="g",
    params={"source": "made_up_salt"},
    reasons=(Reason("cycle.nothing_yet"),),
    cautions=("ammonia.bleach",),
    urgency=Urgency.TOXIC_NITROGEN,
    entry={"kind": "note", "payload": {"text": "stirred in"}},
)
TESTS = Advice("read.due", "reading", params={"quantities": ("tan", "ph")}, reasons=(Reason("read.never"),))
BATCH = Advice("plant.batch", "plant", params={"count": 4, "crop": "made_up_leaf"})


def answer(made_up, *advice: Advice) -> Today:
    glance, flows = {"ph": Band(7.0, 7.1, 7.2)}, {"n_feed": 0.0}
    return Today(made_up.started, "x", Reason("verdict.calm"), advice, (), (), glance, flows, (), None, None)


def state(made_up, **more: object) -> LoopState:
    return state_at(made_up.system(**more), [], made_up.started)


def test_answers_come_back_as_they_went(made_up) -> None:
    whole = answer(made_up, DOSE, TESTS, BATCH)
    assert thaw(Today, json.loads(json.dumps(freeze(whole)))) == whole


def test_an_answer_of_another_shape_is_refused() -> None:
    with pytest.raises(KeyError):
        thaw(Outlook, {"on": "2031-04-01"})


def test_readings_due_are_one_job(made_up) -> None:
    found = jobs.to_do(answer(made_up, DOSE, TESTS), state(made_up), "1 1", frozenset())
    assert [job.title for job in found] == ["Stir in made up salt", "Test ammonia and pH"]
    assert [job.main for job in found] == [True, False]
    assert found[1].test
    assert found[1].button is None


def test_a_job_that_is_in_the_log_is_left_out_until_the_log_is_read_again(made_up) -> None:
    whole = answer(made_up, DOSE)
    (job,) = jobs.to_do(whole, state(made_up), "1 1", frozenset())
    assert job.button is not None
    assert jobs.to_do(whole, state(made_up), "1 1", frozenset({job.button.uuid})) == []
    assert len(jobs.to_do(whole, state(made_up), "1 2", frozenset({job.button.uuid}))) == 1


def test_what_poisons_fish_is_an_alarm_and_a_slow_slide_is_not(made_up) -> None:
    nitrite = Advice(
        "warn.nitrite", "warn", reasons=(Reason("warn.again", {"days": 1}),), urgency=Urgency.TOXIC_NITROGEN
    )
    slide = Advice("warn.ph_low", "warn", reasons=(Reason("warn.step", {"cap": 0.2}),), urgency=Urgency.PH_RATE)
    found = jobs.to_do(answer(made_up, nitrite, slide), state(made_up), "1 1", frozenset())
    assert [(job.title, job.alarm) for job in found] == [
        ("Nitrite is too high", True),
        ("pH is falling: add buffer in small steps", False),
    ]


def test_planting_asks_for_the_bed_where_there_are_several(made_up) -> None:
    (job,) = jobs.to_do(answer(made_up, BATCH), state(made_up), "1 1", frozenset())
    assert job.button is not None
    assert not job.button.asks
    assert json.loads(job.button.payload) == {"crop": "made_up_leaf", "stage": "seedling", "count": 4, "bed": "bed"}
    beds = [{"name": name, "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5} for name in ("north", "south")]
    (job,) = jobs.to_do(answer(made_up, BATCH), state(made_up, beds=beds), "1 1", frozenset())
    assert job.button is not None
    assert job.button.asks
    shown = {one.name: one for one in job.button.fields}
    assert shown["count"].value == "4"
    assert [(option.value, option.chosen) for option in shown["bed"].options] == [("north", False), ("south", False)]
    assert "bed" not in json.loads(job.button.payload)
    assert len({one.id for one in job.button.fields}) == len(job.button.fields)


def test_what_is_chosen_in_the_set_up_leads_there(made_up) -> None:
    unknown = Advice("cycle.no_source", "wait", urgency=Urgency.TOXIC_NITROGEN)
    (job,) = jobs.to_do(answer(made_up, unknown), state(made_up), "1 1", frozenset())
    assert job.door == ("/setup#start", "Choose it")
    assert job.main


class Page(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        # As few members as the plans accept: this tests the pages, not the forecast.
        monkeypatch.setattr(store, "MEMBERS", 50)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def page(self) -> str:
        answer = self.client.get("/")
        assert answer.status_code == 200
        return answer.content.decode()

    def test_before_the_first_forecast_the_page_says_so(self) -> None:
        assert "Working out the year ahead" in self.page()

    def test_the_page_shows_jobs_figures_and_the_year(self) -> None:
        store.work_out(self.loop, self.on)
        page = self.page()
        assert "Test ammonia, nitrite and pH" in page
        assert "it knows every entry of the log" in page
        assert 'aria-label="pH over the year ahead.' in page
        assert "holds no readings yet" in page

    def test_an_entry_makes_the_forecast_old_until_it_is_worked_out_again(self) -> None:
        store.work_out(self.loop, self.on)
        self.client.post("/done", {"uuid": uuid4(), "kind": "temperature", "payload": json.dumps({"value": 24.5})})
        page = self.page()
        assert "older than your last entry" in page
        assert "Saved: Water temperature 24.5" in page
        store.work_out(self.loop, self.on)
        assert "it knows every entry of the log" in self.page()

    def test_the_same_story_is_not_run_again(self) -> None:
        store.work_out(self.loop, self.on)
        key = uuid4()
        for entry in (
            {"uuid": key, "kind": "note", "payload": {"text": "x"}},
            {"uuid": uuid4(), "kind": "withdrawn", "payload": {}, "supersedes": key},
        ):
            bridge.add(self.loop, LogEntry.make(entry | {"at": clock.now()}))
        assert not store.is_fresh(self.loop, self.on)
        store.work_out(self.loop, self.on)
        assert store.is_fresh(self.loop, self.on)
        assert StoredForecast.objects.count() == 1

    def test_done_writes_once_however_often_it_is_pressed(self) -> None:
        form = {"uuid": str(uuid4()), "kind": "note", "payload": json.dumps({"text": "fed"})}
        for _ in range(2):
            assert self.client.post("/done", form)["Location"] == "/"
        (row,) = LogRow.objects.filter(kind="note")
        assert (row.author, row.uuid) == ("keeper", UUID(form["uuid"]))

    def test_done_with_a_bad_payload_stores_nothing(self) -> None:
        bad = {"uuid": str(uuid4()), "kind": "note", "payload": json.dumps({"words": "fed"})}
        assert "Nothing is stored yet" in self.client.post("/done", bad).content.decode()
        assert self.client.post("/done", bad | {"payload": "{"}).status_code == 400
        assert not LogRow.objects.filter(kind="note").exists()

    def test_a_forecast_that_cannot_be_made_says_why(self) -> None:
        clock.pretend(self.made_up.started - timedelta(days=3))
        store.work_out(self.loop, self.made_up.started - timedelta(days=3))
        page = self.page()
        assert "could not be made" in page
        assert "allowed from" in page

    def test_an_answer_of_another_version_counts_as_none(self) -> None:
        store.work_out(self.loop, self.on)
        StoredForecast.objects.update(answer={"today": {}, "outlook": {}})
        assert "Working out the year ahead" in self.page()

    def test_each_line_of_the_loop_tonight_opens_to_formula_and_grade(self) -> None:
        store.work_out(self.loop, self.on)
        page = self.client.get("/").content.decode()
        lines = page.split('id="h-glance"')[1].split("</ul>\n  <details")[0].split('<details class="part">')[1:]
        assert len(lines) >= 8
        for line in lines:
            assert 'class="formula"' in line
            assert 'class="grade' in line
        for figure in page.split("<figure")[1:]:
            assert "How it is worked out" in figure
            assert "<table" in figure

    def test_no_page_asks_the_database_more_as_the_log_grows(self) -> None:
        store.work_out(self.loop, self.on)

        def asked(path: str) -> int:
            with CaptureQueriesContext(connection) as found:
                assert self.client.get(path).status_code == 200
            return len(found)

        paths = ("/", "/water", "/startup", "/log", "/setup", "/loops", "/log/add/feeding", "/pages")
        before = {path: asked(path) for path in paths}
        assert max(before.values()) <= 16, before
        for n in range(30):
            told = bridge.written(uuid=uuid4(), at=clock.now(), author="x", kind="note", payload={"text": str(n)})
            bridge.store(self.loop, told)
        store.work_out(self.loop, self.on)
        assert {path: asked(path) for path in paths} == before
