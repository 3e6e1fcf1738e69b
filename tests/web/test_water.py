import re
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.test import TestCase

from rillbed.garden.fold import state_at
from rillbed.garden.readings import Reading
from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow
from rillbed.web.water import sheet

NOON = datetime(2031, 4, 9, 12, tzinfo=UTC)


def test_steps_are_written_as_on_the_card(made_up) -> None:
    block = sheet.blocks(made_up.system(), {}, {"tan": "expected 0–1"}, None, {})[0]
    assert [step.label for step in block.steps] == ["0", "0.1", "0.2", "0.5", "1", "2", "≥ 5"]
    assert (block.title, block.unit, block.hint) == ("Ammonia", "mg/L as N", "expected 0–1")
    ph = sheet.blocks(made_up.system(), {}, {}, None, {})[2]
    assert [ph.steps[0].label, ph.steps[-1].label] == ["≤ 6", "≥ 8.5"]


def test_a_loop_without_kits_gets_the_neutral_card(made_up) -> None:
    found = sheet.blocks(made_up.system(kits=[]), {}, {}, None, {})
    assert [block.title for block in found] == [
        "Ammonia", "Nitrite", "Nitrate", "pH", "Alkalinity", "Water temperature",
    ]  # fmt: skip
    assert found[0].unit == "mg/L as the kit reads"


def test_thermometer_starts_at_the_last_value(made_up) -> None:
    last = sheet.blocks(made_up.system(), {}, {}, 22.1, {})[-1]
    assert [step.label for step in last.steps] == ["20.5", "21.0", "21.5", "22.0", "22.5", "23.0", "23.5"]
    assert not any(step.pressed for step in last.steps)


@pytest.fixture
def read(made_up):
    def read(filled: dict[str, list[str]]) -> list[Reading]:
        found = sheet.entries(made_up.system(), filled, sheet=UUID(int=7), at=NOON, author="you")
        return [entry.payload for entry in found]

    return read


def test_one_step_is_the_interval_halfway_to_its_neighbours(read) -> None:
    (reading,) = read({"step:ammonia card": ["0.5"]})
    assert reading.interval == (0.35, 0.75)
    (top,) = read({"step:ammonia card": ["5"]})
    assert top.interval == (3.5, None)


def test_two_neighbours_are_the_interval_between_them(read) -> None:
    (reading,) = read({"step:ammonia card": ["1", "0.5"]})
    assert reading.interval == (0.5, 1.0)


def test_dilution_scales_the_interval(read) -> None:
    (reading,) = read({"step:ammonia card": ["1"], "dilution:ammonia card": ["5"]})
    assert reading.interval == (3.75, 7.5)


@pytest.mark.parametrize(
    ("filled", "kit", "words"),
    [
        ({"step:ammonia card": ["0", "1"]}, "ammonia card", "neighbours"),
        ({"step:ammonia card": ["0", "0.1", "0.2"]}, "ammonia card", "neighbours"),
        ({"step:ammonia card": ["0.7"]}, "ammonia card", "steps"),
        ({"step:pH card": ["7"], "dilution:pH card": ["2"]}, "pH card", "diluted"),
        ({"typed:thermometer": ["warm"]}, "thermometer", "number"),
        ({"typed:thermometer": ["220"]}, "thermometer", "between"),
        ({}, "", "Nothing is pressed"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_kit(read, filled: dict[str, list[str]], kit: str, words: str) -> None:
    with pytest.raises(sheet.Refused) as caught:
        read(filled)
    assert list(caught.value.problems) == [kit]
    assert words in caught.value.problems[kit]


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
        self.form = {
            "uuid": str(uuid4()),
            "at": (clock.now() - timedelta(minutes=1)).strftime("%Y-%m-%dT%H:%M"),
            "step:ammonia card": ["0.5"],
            "step:pH card": ["7", "7.5"],
            "step:thermometer": [],
            "typed:thermometer": "21,5",
        }

    def readings(self) -> int:
        return LogRow.objects.filter(kind__in=("reading", "temperature")).count()

    def test_one_form_stores_every_test_with_its_author(self) -> None:
        assert self.client.post("/water", self.form)["Location"] == "/"
        log = bridge.entries(self.loop)
        assert {entry.author for entry in log[1:]} == {"keeper"}
        state = state_at(self.system, log, self.on)
        assert state.last_reading("tan").reading.interval == (0.35, 0.75)
        assert state.last_reading("ph").reading.interval == (7.0, 7.5)
        assert state.temperatures[-1][1] == 21.5

    def test_sending_twice_stores_once(self) -> None:
        for _ in range(2):
            assert self.client.post("/water", self.form).status_code == 302
        assert self.readings() == 3

    def test_a_changed_sheet_under_the_same_key_is_refused_whole(self) -> None:
        self.client.post("/water", self.form)
        answer = self.client.post("/water", self.form | {"step:ammonia card": ["2"], "step:nitrite card": ["0"]})
        assert answer.status_code == 400
        assert "was saved already" in answer.content.decode()
        assert self.readings() == 3

    def test_one_bad_test_stores_nothing_and_keeps_what_was_pressed(self) -> None:
        answer = self.client.post("/water", self.form | {"step:pH card": ["6", "8"]})
        assert answer.status_code == 400
        assert self.readings() == 0
        page = answer.content.decode()
        assert "neighbours" in page
        assert 'name="step:ammonia card" value="0.5" checked' in page

    def test_the_future_and_the_time_before_the_loop_are_refused(self) -> None:
        for at, words in (("2031-05-22T08:00", "future"), ("2031-03-22T08:00", "began"), ("soon", "date")):
            answer = self.client.post("/water", self.form | {"at": at})
            assert answer.status_code == 400
            assert words in answer.content.decode()
        assert self.readings() == 0

    def test_what_was_read_stands_beside_the_sheet(self) -> None:
        assert "Nothing is known of the water yet." in self.client.get("/water").content.decode()
        self.client.post("/water", self.form)
        page = self.client.get("/water").content.decode().replace("\N{WORD JOINER}", "").replace("\xa0", " ")
        assert re.search(
            r"<h3>Ammonia \(all of it, as N\) <em>.*?</em></h3>\s*<p>0.35 to 0.75 mg/L <small[^>]*>\(read today", page
        )
        assert re.search(r"<h3>pH <em>.*?</em></h3>\s*<p>7 to 7.5 ", page)

    def test_the_sheet_has_a_new_key_each_time(self) -> None:
        keys = {self.client.get("/water").context["uuid"] for _ in range(2)}
        assert len(keys) == 2
