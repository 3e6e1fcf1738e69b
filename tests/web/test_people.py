from urllib.parse import urlsplit
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.cache import cache
from django.test import Client, TestCase

from rillbed.web.log.models import LogRow, Loop
from rillbed.web.people import links, throttle

PHRASE = "four plain words here"


class Doors(TestCase):
    def setUp(self) -> None:
        cache.clear()

    def make(self) -> User:
        return User.objects.create_user("keeper", password=PHRASE)

    def test_pages_ask_to_sign_in_first(self) -> None:
        for path in ("/", "/pages", "/begin"):
            answer = self.client.get(path)
            assert answer.status_code == 302
            assert urlsplit(answer["Location"]).path == "/sign-in"

    def test_nobody_has_a_default_phrase(self) -> None:
        assert not User.objects.exists()

    def test_set_up_link_makes_one_account_once(self) -> None:
        door = links.set_up_path()
        assert self.client.get(door).status_code == 200
        assert self.client.post(door, {"name": "keeper", "phrase": PHRASE})["Location"] == "/"
        assert self.client.get("/pages").status_code == 200
        self.client.logout()
        assert self.client.get(door).status_code == 410
        assert self.client.post(door, {"name": "other", "phrase": PHRASE}).status_code == 410
        assert User.objects.count() == 1

    def test_short_or_common_phrase_is_refused(self) -> None:
        for phrase in ("short", "startfinding"):
            answer = self.client.post(links.set_up_path(), {"name": "keeper", "phrase": phrase})
            assert answer.status_code == 400
        assert not User.objects.exists()

    def test_forged_set_up_link_is_refused(self) -> None:
        assert self.client.get(links.set_up_path()[:-1] + "x").status_code == 410
        assert self.client.get("/first/first").status_code == 410

    def test_entry_link_opens_once(self) -> None:
        door = links.entry_path(self.make())
        assert self.client.get(door)["Location"] == "/"
        assert self.client.get("/pages").status_code == 200
        self.client.logout()
        assert self.client.get(door).status_code == 410

    def test_sign_in_and_out(self) -> None:
        self.make()
        answer = self.client.post("/sign-in", {"name": "keeper", "phrase": PHRASE, "next": "/pages"})
        assert answer["Location"] == "/pages"
        assert self.client.post("/sign-out")["Location"] == "/sign-in"
        assert self.client.get("/pages").status_code == 302

    def test_sign_in_leads_to_no_other_site(self) -> None:
        self.make()
        answer = self.client.post("/sign-in", {"name": "keeper", "phrase": PHRASE, "next": "https://example.org/"})
        assert answer["Location"] == "/"

    def test_guessing_is_paused(self) -> None:
        self.make()
        for _ in range(throttle.TRIES):
            assert self.client.post("/sign-in", {"name": "keeper", "phrase": "wrong"}).status_code == 403
        assert self.client.post("/sign-in", {"name": "keeper", "phrase": PHRASE}).status_code == 403

    def test_another_phrase_ends_every_other_session(self) -> None:
        self.make()
        phone, desk = Client(), Client()
        for one in (phone, desk):
            one.post("/sign-in", {"name": "keeper", "phrase": PHRASE})
        new = "five plain words are here"
        wrong = desk.post("/phrase", {"old": "not so", "phrase": new})
        assert wrong.status_code == 400
        assert "not the phrase so far" in wrong.content.decode()
        assert desk.post("/phrase", {"old": PHRASE, "phrase": "short"}).status_code == 400
        assert phone.get("/pages").status_code == 200
        assert desk.post("/phrase", {"old": PHRASE, "phrase": new})["Location"] == "/people"
        assert desk.get("/pages").status_code == 200
        assert phone.get("/pages").status_code == 302
        assert phone.post("/sign-in", {"name": "keeper", "phrase": PHRASE}).status_code == 403
        assert phone.post("/sign-in", {"name": "keeper", "phrase": new}).status_code == 302

    def test_guessing_the_old_phrase_is_paused(self) -> None:
        self.make()
        self.client.post("/sign-in", {"name": "keeper", "phrase": PHRASE})
        for _ in range(throttle.TRIES):
            self.client.post("/phrase", {"old": "wrong", "phrase": "five plain words are here"})
        answer = self.client.post("/phrase", {"old": PHRASE, "phrase": "five plain words are here"})
        assert "Too many tries" in answer.content.decode()

    def test_without_a_loop_the_page_says_how_to_begin(self) -> None:
        self.client.force_login(self.make())
        answer = self.client.get("/", follow=True)
        assert answer.redirect_chain == [("/begin", 302)]
        assert "No loop is set up yet" in answer.content.decode()


def test_static_files_come_with_the_policy() -> None:
    from django.test import Client

    for name in ("rillbed.css", "tokens.css", "rillbed.js", "mark.svg"):
        answer = Client().get(f"/static/rillbed/{name}")
        assert answer.status_code == 200, name
        assert "default-src 'self'" in answer["Content-Security-Policy"]
        answer.close()


def test_data_folder_is_the_users_own(monkeypatch: pytest.MonkeyPatch, tmp_path) -> None:
    from rillbed.web import options

    monkeypatch.delenv("RILLBED_DATA")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(options.sys, "platform", "linux")
    assert options.user_folder("linux") == tmp_path / "data" / "rillbed"
    assert options.data_folder() == tmp_path / "data" / "rillbed"
    assert not (tmp_path / "rillbed-data").exists()
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")
    assert options.user_folder("linux").is_absolute()


class Loops(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def test_another_loop_can_be_chosen(self) -> None:
        self.client.force_login(self.made_up.keeper())
        self.made_up.loop(self.made_up.system(name="First loop"))
        second = self.made_up.loop(self.made_up.system(name="Second loop"))
        foreign = self.made_up.loop(self.made_up.system(name="Other loop"), self.made_up.keeper("other"))

        def shown() -> str:
            return self.client.get("/pages").content.decode().split('<div class="loop">')[1].split("<small>")[0]

        assert shown().endswith("First loop")
        listed = self.client.get("/loops").content.decode()
        assert "Second loop" in listed
        assert "Other loop" not in listed
        assert self.client.post("/loops/choose", {"loop": second.pk})["Location"] == "/"
        assert shown().endswith("Second loop")
        for key in ("999", "x", "", foreign.pk):
            assert self.client.post("/loops/choose", {"loop": key}).status_code == 404

    def test_a_form_writes_the_loop_it_was_drawn_for(self) -> None:
        self.client.force_login(self.made_up.keeper())
        first, second = (self.made_up.loop(self.made_up.system(name=name)) for name in ("First loop", "Second loop"))
        self.client.post("/loops/choose", {"loop": second.pk})
        form = {"loop": first.pk, "uuid": str(uuid4()), "kind": "note", "payload": '{"text": "of the first"}'}
        assert self.client.post("/done", form).status_code == 302
        assert LogRow.objects.get(kind="note").loop == first

    def test_a_loop_is_erased_only_by_its_typed_name(self) -> None:
        self.client.force_login(self.made_up.keeper())
        first, second = (self.made_up.loop(self.made_up.system(name=name)) for name in ("First loop", "Second loop"))
        assert "all 1 entries" in self.client.get(f"/loops/{first.pk}/erase").content.decode()
        answer = self.client.post(f"/loops/{first.pk}/erase", {"name": "first"})
        assert answer.status_code == 400
        assert "Type the name as it stands" in answer.content.decode()
        assert Loop.objects.count() == 2
        assert self.client.post(f"/loops/{first.pk}/erase", {"name": "First loop"})["Location"] == "/loops"
        assert list(Loop.objects.all()) == [second]


def test_what_is_not_there_is_said_in_the_look_of_the_pages(made_up) -> None:
    from django.test import Client

    answer = Client().get("/no/such/page")
    assert answer.status_code == 404
    assert "Nothing is here" in answer.content.decode()
    answer = Client(enforce_csrf_checks=True).post("/sign-in", {"name": "x", "phrase": "y"})
    assert answer.status_code == 403
    assert "This form is too old" in answer.content.decode()
