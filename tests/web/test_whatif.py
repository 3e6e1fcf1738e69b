"""The page of two futures, the page of trust, and the answer to a reading that does not fit."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.test import TestCase

from rillbed.plan.learned import CONFIRMED, Learned, Question
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.log.models import LogRow
from rillbed.web.today.odd import asked
from rillbed.web.trust.published import parts
from rillbed.web.whatif import views
from rillbed.web.whatif.form import KINDS


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)
        monkeypatch.setattr(views, "MEMBERS", 20)
        monkeypatch.setattr(views, "DAYS", 14)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=4)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def test_every_change_has_a_form_and_says_what_is_missing(self) -> None:
        for kind in KINDS:
            assert self.client.get("/what-if", {"kind": kind.key}).status_code == 200
        answer = self.client.get("/what-if", {"kind": "heater", "show": "1", "heater_set_c": "warm"})
        assert answer.status_code == 400
        assert 'aria-invalid="true"' in answer.content.decode()

    def test_both_futures_are_shown_once_there_is_a_fit_and_nothing_is_written(self) -> None:
        ask = {"kind": "heater", "show": "1", "heater_set_c": "27"}
        assert "still being worked out" in self.client.get("/what-if", ask).content.decode()
        store.work_out(self.loop, self.on)
        rows = LogRow.objects.count()
        page = self.client.get("/what-if", ask).content.decode()
        assert "Water higher" in page
        assert 'aria-label="pH, difference:' in page
        assert LogRow.objects.count() == rows

    def test_trust_says_that_nothing_was_foreseen_yet_and_shows_what_is_published(self) -> None:
        assert "No forecast can be held against a reading yet" in self.client.get("/trust").content.decode()
        assert any(part.kind == "table" for part in parts())
        assert "<table>" in self.client.get("/trust/published").content.decode()

    def test_one_tap_answers_a_reading_that_does_not_fit(self) -> None:
        payload = {"quantity": "no3", "unit": "mg/L", "basis": "n", "low": 5, "high": 10}
        for said, kind in (("misread", "withdrawn"), ("left", "water_changed"), ("right", "observation")):
            key = uuid4()
            told = bridge.written(uuid=key, at=clock.now(), author="k", kind="reading", payload=payload)
            bridge.add(self.loop, told)
            for _ in range(2):
                self.client.post("/odd", {"entry": str(key), "answer": said, "litres": "120"})
            (row,) = LogRow.objects.filter(kind=kind)
            if said == "right":
                assert row.payload["what"] == CONFIRMED
                assert UUID(row.payload["text"]) == key

    def test_a_question_is_asked_while_its_reading_stands(self) -> None:
        key = str(uuid4())
        odd = Question((key,), self.on, "no3", 20.0, 30.0, 0.5, "water_left", 0.3, 270.0, True)
        known = Learned("log", 3, 1.0, 90.0, questions=(odd,))
        (shown,) = asked(known, frozenset({key}))
        assert "did about 270" in shown.text
        assert [value for value, _ in shown.answers] == ["misread", "left", "right"]
        assert asked(known, frozenset()) == ()
