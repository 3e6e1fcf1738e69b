"""Ten things asked of every address there is, by five kinds of visitor; a new page is walked without being named."""

import io
import logging
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.test import Client, TestCase
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from rillbed.web import clock
from rillbed.web.access import NoSecrets
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import LogRow
from rillbed.web.people import members

# Views that anybody signed in may send to: what they change belongs to no loop, or they look at the role themselves.
ANYBODY = {
    "setup-new",
    "choose-loop",
    "erase-loop",
    "sign-out",
    "leave",
    "tokens",
    "token-revoke",
    "import",
    "calendar",
    "calendar-close",
}
ANYBODY |= {"phrase"}
# Views that only owners may send to, at the least.
OWNERS = {"setup", "household", "products", "source-water", "invite", "share", "take-back", "set-role", "export"}
# Doors: open without an account, each with a secret of its own or nothing to tell.
DOORS = {"health", "sign-in", "first-account", "enter", "join", "shared", "lesson-shared", "calendar-feed"}
DOORS |= {"service-worker", "manifest", "offline", "openapi"}
ROWS = {"uuid", "key", "loop_id"}  # what in an address names a row of a loop
# Pages that answer a form as if they were looked at: they read none.
NO_FORM = {"all-pages", "begin", "sources", "loops"}
UNTOLD = {"sessions.Session"}
EVIL = "https://elsewhere.example/"


@dataclass(frozen=True)
class Place:
    """An address: its whole name, its path for the loop of the tests, and the view behind it."""

    name: str
    path: str
    of_a_row: bool
    view: object

    @property
    def door(self) -> bool:
        return not getattr(self.view, "login_required", True)

    @property
    def least(self) -> str:
        return getattr(self.view, "least_role", "helper")


def places(held: dict[str, object]) -> Iterator[Place]:
    def walk(found, space: str) -> Iterator[Place]:
        for one in found:
            if isinstance(one, URLResolver):
                yield from walk(one.url_patterns, f"{space}{one.namespace}:" if one.namespace else space)
            elif isinstance(one, URLPattern):
                wanted = one.pattern.converters
                assert set(wanted) <= set(held), f"{one.name}: say in this test what stands for {set(wanted)}"
                name = f"{space}{one.name}"
                path = reverse(name, kwargs={key: held[key] for key in wanted})
                yield Place(name, path, bool(ROWS & set(wanted)), one.callback)

    yield from walk(get_resolver().url_patterns, "")


def of_loop(rows: dict[str, list[object]], key: int) -> dict[str, list[object]]:
    """What belongs to one loop, of all tables."""
    out = {name: [row for row in held if row.get("loop_id") == key] for name, held in rows.items()}
    return out | {"log.Loop": [row for row in rows["log.Loop"] if row["id"] == key]}


class Given(TestCase):
    """A loop with an owner, a helper and a reader, and somebody with a loop of their own."""

    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.people = {name: User.objects.create_user(f"the {name}") for name in ("owner", "helper", "reader")}
        self.loop = self.made_up.loop(self.made_up.system(name="Loop of the owner"), self.people["owner"])
        for role in ("helper", "reader"):
            keep(self.loop, self.people[role], role)
        self.people["outsider"] = self.made_up.keeper("outsider")
        self.other = self.made_up.loop(self.made_up.system(name="Another loop"), self.people["outsider"])
        self.as_("owner").post(
            "/done", {"uuid": str(uuid4()), "kind": "note", "payload": '{"text": "a secret of ours"}'}
        )
        self.note = LogRow.objects.get(kind="note")
        self.held = {
            "uuid": self.note.uuid,
            "key": self.loop.pk,
            "loop_id": self.loop.pk,
            "secret": "x",
            "kind": "note",
        }
        self.form = {
            "loop": str(self.loop.pk), "uuid": str(uuid4()), "entry": str(self.note.uuid), "kind": "note",
            "payload": '{"text": "mine"}', "text": "mine", "name": "Loop of the owner", "role": "owner", "key": "1",
            "title": "x", "scope": "all", "phrase": "four plain words here",
        }  # fmt: skip

    def as_(self, who: str, **more: object) -> Client:
        client = Client(**more)
        if who != "nobody":
            client.force_login(self.people[who])
        return client

    def everything(self) -> list[Place]:
        return list(places(self.held))

    def rows(self) -> dict[str, list[object]]:
        return {
            model._meta.label: list(model._default_manager.order_by("pk").values())
            for model in apps.get_models()
            if model._meta.label not in UNTOLD
        }


class TenPoints(Given):
    def test_one_nobody_comes_in_but_through_the_doors(self) -> None:
        before = self.rows()
        for place in self.everything():
            for ask in ("get", "post", "put", "delete"):
                answer = getattr(self.as_("nobody"), ask)(place.path)
                if place.name.startswith("api:"):
                    assert answer.status_code in (401, 405), place.name
                elif place.name in DOORS:
                    assert "secret of ours" not in answer.content.decode(), place.name
                else:
                    assert answer.status_code == 302, place.name
                    assert answer["Location"].startswith("/sign-in?next=/"), place.name
        assert self.rows() == before

    def test_one_the_doors_are_those_listed(self) -> None:
        found = {place.name for place in self.everything() if place.door and not place.name.startswith("api:")}
        assert found == DOORS

    def test_two_to_an_outsider_nothing_of_it_exists(self) -> None:
        client = self.as_("outsider")
        before = self.rows()
        for place in self.everything():
            if place.door or place.name == "sign-out":
                continue
            page = client.get(place.path)
            assert b"secret of ours" not in page.content, place.name
            assert b"Loop of the owner" not in page.content, place.name
            for ask in (client.get, client.post, client.put, client.delete) if place.of_a_row else ():
                assert ask(place.path).status_code == 404, place.name
            sent = client.post(place.path, self.form)
            assert sent.status_code in (404, 405) or place.least == "" or place.name in NO_FORM, place.name
        assert of_loop(self.rows(), self.loop.pk) == of_loop(before, self.loop.pk)

    def test_three_a_reader_writes_nothing_and_a_helper_no_more_than_the_log(self) -> None:
        found = self.everything()
        assert {one.name for one in found if one.least == "" and not one.door} == ANYBODY
        assert {one.name for one in found if one.least == "owner"} >= OWNERS
        for who in ("reader", "helper"):
            client = self.as_(who)
            for place in found:
                least = place.least
                if place.door or least == "" or (who == "helper" and least != "owner"):
                    continue
                before = self.rows()
                answer = client.post(place.path, self.form)
                assert answer.status_code == 403, (who, place.name, answer.status_code)
                assert "Nothing was stored" in answer.content.decode(), place.name
                assert self.rows() == before, (who, place.name)

    def test_three_everybody_of_the_loop_sees_every_page_meant_for_them(self) -> None:
        for who in ("reader", "helper", "owner"):
            client = self.as_(who)
            for place in self.everything():
                if place.name.startswith("api:"):
                    continue
                answer = client.get(place.path)
                kept = getattr(place.view, "to_look", False) or place.name in ("erase-loop", "correct")
                allowed = (200, 302, 405, 410) + ((403,) if kept and who != "owner" else ())
                assert answer.status_code in allowed, (who, place.name, answer.status_code)

    def test_four_looking_changes_nothing(self) -> None:
        for who in ("nobody", "outsider", "reader", "helper", "owner"):
            client = self.as_(who)
            before = self.rows()
            for place in self.everything():
                client.get(place.path)
                client.head(place.path)
                client.options(place.path)
                assert self.rows() == before, (who, place.name)

    def test_five_no_form_works_without_its_token(self) -> None:
        for who in ("nobody", "owner"):
            client = self.as_(who, enforce_csrf_checks=True)
            before = self.rows()
            for place in self.everything():
                answer = client.post(place.path, self.form)
                wanted = (401, 405) if place.name.startswith("api:") else (403,)
                if who == "nobody" and not place.door:
                    wanted = (302, 403)
                assert answer.status_code in wanted, (who, place.name, answer.status_code)
            assert self.rows() == before

    def test_six_every_answer_says_what_a_browser_may_do(self) -> None:
        client = self.as_("owner")
        for place in [*self.everything(), Place("lost", "/no/such/page", False, None)]:
            for answer in (client.get(place.path), Client().post(place.path, self.form)):
                policy = answer["Content-Security-Policy"]
                assert "default-src 'self'" in policy
                assert "frame-ancestors 'none'" in policy
                assert "unsafe" not in policy
                assert answer["X-Content-Type-Options"] == "nosniff", place.name
                assert answer["X-Frame-Options"] == "DENY", place.name
                assert answer["Referrer-Policy"] in ("same-origin", "no-referrer"), place.name
                assert "Access-Control-Allow-Origin" not in answer, place.name

    def test_six_no_page_holds_a_script_or_style_of_its_own(self) -> None:
        client = self.as_("owner")
        for place in self.everything():
            page = client.get(place.path)
            if not page.get("Content-Type", "").startswith("text/html") or page.has_header("Content-Disposition"):
                continue
            text = page.content.decode()
            for part in text.split("<script")[1:]:
                assert part.split(">", 1)[1].startswith("</script>") or 'type="application/json"' in part, place.name
            assert " style=" not in text, place.name
            assert " onclick=" not in text, place.name

    def test_eight_signing_in_makes_a_new_session_and_leaving_ends_it(self) -> None:
        User.objects.create_user("somebody", password="four plain words here")
        client = Client()
        client.get("/sign-in")
        session = client.session
        session["x"] = 1
        session.save()
        old = session.session_key
        client.cookies["sessionid"] = old
        client.post("/sign-in", {"name": "somebody", "phrase": "four plain words here"})
        new = client.session.session_key
        assert new != old
        client.post("/sign-out")
        late = Client()
        late.cookies["sessionid"] = new
        assert late.get("/pages").status_code == 302

    def test_nine_nothing_leads_elsewhere(self) -> None:
        client = self.as_("owner")
        asked = {name: EVIL for name in ("next", "back", "to", "url", "return")}
        for place in self.everything():
            if place.name == "sign-out":
                continue
            for answer in (client.get(place.path, asked), client.post(place.path, self.form | asked)):
                to = answer.get("Location", "/")
                assert (to.startswith("/") and not to.startswith("//")) or to.startswith("?"), (place.name, to)
            client = self.as_("owner")

    def test_ten_no_secret_is_told_in_logs_or_answers(self) -> None:
        secret = members.invite(self.loop, self.people["owner"], "helper")
        out = io.StringIO()
        handler = logging.StreamHandler(out)
        handler.addFilter(NoSecrets())
        logger = logging.getLogger("django.request")
        logger.addHandler(handler)
        self.addCleanup(logger.removeHandler, handler)
        logger.error("Internal Server Error: %s", f"/join/{secret}")
        logger.error("Internal Server Error: /shared/%s and %s", secret, "rb_abc-DEF_123")
        assert secret not in out.getvalue()
        assert "abc-DEF_123" not in out.getvalue()
        assert "/join/***" in out.getvalue()
        told = Client().get("/health").content.decode()
        assert len(told) < 200
        from django.conf import settings

        lost = Client().get(f"/no/such/{secret}")
        assert settings.SECRET_KEY not in told + lost.content.decode()
        assert secret not in lost.content.decode()


class Doors(Given):
    def test_a_key_in_an_address_is_no_way_round(self) -> None:
        for key in (self.other.pk, 10**18, 0):
            assert self.as_("reader").post(f"/loops/{key}/erase", {"name": "Another loop"}).status_code == 404
        answer = self.as_("helper").post(f"/loops/{self.loop.pk}/erase", {"name": "Loop of the owner"})
        assert answer.status_code == 403
        assert LogRow.objects.filter(loop=self.loop).exists()

    def test_the_role_in_one_loop_counts_for_nothing_in_another(self) -> None:
        keep(self.other, self.people["reader"], "owner")
        client = self.as_("reader")
        client.post("/loops/choose", {"loop": self.other.pk})
        entry = {"uuid": str(uuid4()), "kind": "note", "payload": '{"text": "x"}'}
        assert client.post("/done", entry | {"loop": self.loop.pk}).status_code == 403
        assert client.post("/done", entry).status_code in (302, 403)
        assert not LogRow.objects.filter(loop=self.loop, uuid=UUID(str(entry["uuid"]))).exists()
