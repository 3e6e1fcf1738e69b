"""Entries that waited on a phone: their time, their answer, and that none is written twice."""

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.contrib.staticfiles import finders
from django.test import Client, TestCase

from rillbed.garden.errors import GardenError
from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow
from rillbed.web.offline import texts
from rillbed.web.offline.late import made


def waited(minutes: float, off: timedelta = timedelta()) -> dict[str, str]:
    """What a phone whose clock is off says of an entry that waited."""
    sent = datetime.now(UTC) + off
    start = sent - timedelta(minutes=minutes)
    return {"made_at": start.isoformat().replace("+00:00", "Z"), "sent_at": sent.isoformat().replace("+00:00", "Z")}


class Late(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())
        self.queue = {"HTTP_X_RILLBED_QUEUE": str(self.made_up.keeper().pk)}

    def note(self, key, **more):
        return self.client.post("/log/add/note", {"uuid": str(key), "text": "wet hands"} | more, **self.queue)

    def last(self):
        return bridge.entries(self.loop)[-1]

    def test_the_time_counts_back_from_now_whatever_the_phone_shows(self) -> None:
        for off in (timedelta(), timedelta(days=-400), timedelta(hours=9)):
            key = uuid4()
            assert self.note(key, **waited(150, off)).json() == {"to": "/log"}
            at = next(one for one in bridge.entries(self.loop) if one.uuid == key).at
            assert abs(clock.now() - timedelta(minutes=150) - at) < timedelta(seconds=10)

    def test_sent_at_once_is_now(self) -> None:
        assert made(waited(0.05)) is None
        assert made({}) is None

    def test_what_cannot_be_is_refused_by_name(self) -> None:
        for typed, field in (
            ({"made_at": "yesterday", "sent_at": "now"}, "made_at"),
            ({"made_at": "2031-01-01T00:00:00", "sent_at": "2031-01-01T00:00:00"}, "made_at"),
            ({"made_at": "2031-01-01T00:00:00Z"}, "sent_at"),
            (waited(-5), "made_at"),
            (waited(61 * 24 * 60), "made_at"),
        ):
            with pytest.raises(GardenError) as refused:
                made(typed)
            assert refused.value.field == field

    def test_sent_twice_is_written_once_even_later(self) -> None:
        key, rows = uuid4(), LogRow.objects.count()
        for minutes in (5, 9):
            assert self.note(key, **waited(minutes)).status_code == 200
        assert self.note(key, at="").status_code == 200  # and the plain way, too
        assert LogRow.objects.count() == rows + 1

    def test_a_sheet_of_readings_waits_too(self) -> None:
        key, rows = uuid4(), LogRow.objects.count()
        sheet = {"uuid": str(key), "step:ammonia card": "0.5", "step:nitrite card": "0.2"}
        for minutes in (60, 70):
            answer = self.client.post("/water", sheet | waited(minutes), **self.queue)
            assert answer.json() == {"to": "/"}
        assert LogRow.objects.count() == rows + 2
        assert abs(clock.now() - timedelta(minutes=60) - self.last().at) < timedelta(seconds=10)

    def test_a_done_waits_too(self) -> None:
        told = {"uuid": str(uuid4()), "kind": "note", "payload": json.dumps({"text": "fed"})}
        assert self.client.post("/done", told | waited(30), **self.queue).json() == {"to": "/"}
        assert abs(clock.now() - timedelta(minutes=30) - self.last().at) < timedelta(seconds=10)

    def test_a_refused_one_says_so_and_nothing_is_stored(self) -> None:
        rows = LogRow.objects.count()
        assert self.client.post("/log/add/fish_died", {"uuid": str(uuid4())}, **self.queue).status_code == 400
        assert LogRow.objects.count() == rows

    def test_signed_out_is_told_apart_from_saved(self) -> None:
        answer = Client().post("/log/add/note", {"uuid": str(uuid4()), "text": "x"}, **self.queue)
        assert answer.status_code == 401
        assert answer.json()["to"].startswith("/sign-in")

    def test_it_never_goes_out_under_the_name_of_somebody_else(self) -> None:
        rows = LogRow.objects.count()
        self.client.force_login(self.made_up.keeper("other"))
        assert self.note(uuid4(), **waited(5)).status_code == 401
        assert LogRow.objects.count() == rows

    def test_only_pages_of_those_signed_in_are_kept_and_no_secret(self) -> None:
        assert self.client.get("/")["X-Rillbed-Keep"] == "page"
        assert "X-Rillbed-Keep" not in Client().get("/sign-in")
        assert "X-Rillbed-Keep" not in self.client.get("/manifest.webmanifest")

    def test_the_worker_keeps_what_there_is_and_the_manifest_points_at_it(self) -> None:
        text = self.client.get("/sw.js").content.decode()
        told = json.loads(text.split("const TOLD = ", 1)[1].split(";\n", 1)[0])
        assert told["files"]
        for path in told["files"]:
            assert finders.find(path.removeprefix("/static/")), path
        assert self.client.get(told["offline"]).status_code == 200
        manifest = self.client.get("/manifest.webmanifest").json()
        assert manifest["start_url"] == "/"
        for icon in manifest["icons"]:
            assert icon["src"] in told["files"]


def test_the_script_says_nothing_that_no_translation_could_meet() -> None:
    """Each text of the script is one that the page hands it in the reader's language, and none is handed in vain."""
    script = Path(finders.find("rillbed/queue.js")).read_text("utf-8")
    said = set(re.findall(r'\bsay\("([^"]+)"', script))
    counted = set(re.findall(r'\bcount\("[^"]+", "([^"]+)"', script))
    assert said == set(texts.TEXTS)
    assert counted == set(texts.COUNTED)
    # What looks like words to people stands nowhere else.
    plain = re.sub(r"/\*.*?\*/|//.*", "", script)
    loose = re.findall(r'"([A-Z][a-z]+ [a-z][^"]*)"', re.sub(r'\b(say|count)\((?:"[^"]+"(?:, )?)+', "", plain))
    assert loose == []


def test_a_page_in_english_hands_the_script_nothing() -> None:
    assert texts.texts() == ""
