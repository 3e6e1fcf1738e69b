"""Every address there is, asked by nobody, by the keeper of a loop and by the keeper of another."""

import json
from collections.abc import Iterator
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase
from django.urls import URLPattern, get_resolver, reverse

from rillbed.web import clock
from rillbed.web.forecasts.models import StoredForecast
from rillbed.web.log.models import Keeper, LogRow, Loop

ROWS = {"uuid", "key"}  # what in an address names a row
OPEN = {"health", "sign-in", "first-account", "enter", "lesson-shared", "service-worker", "manifest", "offline"}
OPEN |= {"join", "shared"}


def addresses(found=None) -> Iterator[URLPattern]:
    for one in get_resolver().url_patterns if found is None else found:
        if isinstance(one, URLPattern):
            yield one
        else:
            yield from addresses(one.url_patterns)


class Visitors(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.mine = self.made_up.loop(self.made_up.system(name="Loop of the keeper"))
        self.client.force_login(self.made_up.keeper())
        self.client.post("/done", {"uuid": str(uuid4()), "kind": "note", "payload": '{"text": "a secret of mine"}'})
        self.note = LogRow.objects.get(kind="note")
        self.client.logout()
        self.held = {"uuid": self.note.uuid, "key": self.mine.pk, "secret": "x", "kind": "note"}

    def everything(self) -> Iterator[tuple[str, str, bool]]:
        """Name and path of every address, and whether it names a row of the keeper."""
        for one in addresses():
            wanted = one.pattern.converters
            yield (
                str(one.name),
                reverse(str(one.name), kwargs={name: self.held[name] for name in wanted}),
                bool(ROWS & set(wanted)),
            )

    def state(self) -> list[object]:
        return [list(model.objects.order_by("pk").values()) for model in (Loop, Keeper, LogRow, StoredForecast)]

    def test_nobody_gets_in_but_through_the_open_doors(self) -> None:
        before = self.state()
        for name, path, _ in self.everything():
            for ask in (self.client.get, self.client.post):
                answer = ask(path)
                if name in OPEN:
                    assert "secret of mine" not in answer.content.decode()
                else:
                    assert answer.status_code == 302, name
                    assert answer["Location"].startswith("/sign-in"), name
        assert self.state() == before

    def test_the_keeper_sees_every_page_and_looking_changes_nothing(self) -> None:
        self.client.force_login(self.made_up.keeper())
        before = self.state()
        for name, path, _ in self.everything():
            assert self.client.get(path).status_code in (200, 302, 405, 410), name
        assert self.state() == before

    def test_to_the_keeper_of_another_loop_it_does_not_exist(self) -> None:
        other = self.made_up.keeper("other")
        self.made_up.loop(self.made_up.system(name="Loop of the other"), other)
        self.client.force_login(other)
        before = self.state()
        for name, path, of_a_row in self.everything():
            if name in OPEN or name == "sign-out":
                continue
            page = self.client.get(path)
            assert "secret of mine" not in page.content.decode(), name
            assert "Loop of the keeper" not in page.content.decode(), name
            if of_a_row:
                assert page.status_code == 404, name
                assert self.client.post(path, {"uuid": str(uuid4()), "name": self.mine.name}).status_code == 404, name
        assert self.state() == before

    def test_no_form_of_another_reaches_it(self) -> None:
        other = self.made_up.keeper("other")
        self.made_up.loop(self.made_up.system(name="Loop of the other"), other)
        self.client.force_login(other)
        before = self.state()
        told = {"uuid": str(uuid4()), "kind": "note", "payload": json.dumps({"text": "mine"}), "text": "mine"}
        for name, path, _ in self.everything():
            if name in OPEN or name in ("sign-out", "setup-new"):
                continue
            answer = self.client.post(path, told | {"loop": str(self.mine.pk), "entry": str(self.note.uuid)})
            assert answer.status_code in (404, 405) or name in ("all-pages", "sources", "begin", "loops"), name
        taking_back = {"uuid": str(uuid4()), "entry": str(self.note.uuid)}
        assert self.client.post("/log/withdraw", taking_back).status_code == 404
        assert self.state() == before
