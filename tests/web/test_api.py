"""Tokens and the programming interface: who gets in, what is written, and that its numbers are those of the pages."""

import json
import re
from datetime import timedelta
from uuid import uuid4

import jsonschema_rs
import pytest
from django.core.cache import cache
from django.test import Client, TestCase

from rillbed import cli
from rillbed.garden.files import write_log, write_system
from rillbed.web import bridge, clock
from rillbed.web.api import base, tokens
from rillbed.web.api.models import Token
from rillbed.web.api.schema import schema
from rillbed.web.forecasts import plans, store
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import LogRow
from rillbed.web.people.models import Change
from rillbed.words.plain import plain

READING = {"quantity": "tan", "low": 0.5, "high": 0.5, "unit": "mg/L", "basis": "n"}


class Given(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.owner = self.made_up.keeper("owner")
        self.loop = self.made_up.loop(self.made_up.system(), self.owner)
        self.path = f"/api/v1/loops/{self.loop.pk}"
        self.key = tokens.make(self.owner, "all", "all", None)

    def get(self, path: str, key: str | None = None, **asked: object):
        return Client().get(path, asked, headers={"Authorization": f"Bearer {key or self.key}"})

    def post(self, path: str, data: object, key: str | None = None):
        text = data if isinstance(data, str | bytes) else json.dumps(data)
        return Client().post(
            path, text, content_type="application/json", headers={"Authorization": f"Bearer {key or self.key}"}
        )

    def entry(self, **more: object) -> dict[str, object]:
        told = {"uuid": str(uuid4()), "at": (clock.now() - timedelta(hours=1)).isoformat(), "kind": "reading"}
        return told | {"payload": READING} | more

    def wrong(self, answer, status: int = 422) -> dict[str, object]:
        assert answer.status_code == status, answer.content
        return answer.json()["errors"][0]


class Tokens(Given):
    def test_it_is_shown_once_and_only_its_digest_is_kept(self) -> None:
        client = Client()
        client.force_login(self.owner)
        page = client.post("/tokens", {"name": "thermometer", "scope": "log", "for": self.loop.pk}).content.decode()
        secret = re.search(r'value="(rb_[\w-]+)"', page)[1]
        assert secret not in client.get("/tokens").content.decode()
        assert secret not in str(list(Token.objects.values())) + str(list(Change.objects.values()))
        assert self.get("/api/v1/loops", secret).json()[0]["name"] == "Made-up loop"
        assert "made the token thermometer (log)" in client.get("/people").content.decode()

    def test_a_wrong_name_or_scope_is_named_and_kept(self) -> None:
        client = Client()
        client.force_login(self.owner)
        for form, said in (({"name": "", "scope": "log"}, "name"), ({"name": "mine", "scope": "x"}, "scope")):
            answer = client.post("/tokens", form)
            assert answer.status_code == 400
            assert f"{said}: " in answer.content.decode()
        assert 'value="mine"' in answer.content.decode()
        assert Token.objects.count() == 1

    def test_when_it_was_used_last_is_shown(self) -> None:
        client = Client()
        client.force_login(self.owner)
        assert "never used" in client.get("/tokens").content.decode()
        self.get("/api/v1/loops")
        assert Token.objects.get().used_at == clock.now()
        assert "last used" in client.get("/tokens").content.decode()

    def test_a_revoked_token_and_one_of_a_closed_account_open_nothing(self) -> None:
        client = Client()
        client.force_login(self.made_up.keeper("other"))
        assert client.post("/tokens/revoke", {"token": Token.objects.get().pk}).status_code == 404
        client.force_login(self.owner)
        client.post("/tokens/revoke", {"token": Token.objects.get().pk})
        assert self.wrong(self.get("/api/v1/loops"), 401)["field"] == "Authorization"
        fresh = tokens.make(self.owner, "two", "read", None)
        self.owner.is_active = False
        self.owner.save()
        assert self.get("/api/v1/loops", fresh).status_code == 401

    def test_nothing_opens_without_one(self) -> None:
        for headers in ({}, {"Authorization": "Bearer x"}, {"Authorization": "Basic eDp5"}):
            answer = Client().get("/api/v1/loops", headers=headers)
            assert answer.status_code == 401
            assert answer["WWW-Authenticate"] == "Bearer"
        signed_in = Client()
        signed_in.force_login(self.owner)
        assert signed_in.get("/api/v1/loops").status_code == 401

    def test_one_for_a_loop_sees_no_other(self) -> None:
        second = self.made_up.loop(self.made_up.system(name="Second"), self.owner)
        key = tokens.make(self.owner, "one", "all", second)
        assert [one["name"] for one in self.get("/api/v1/loops", key).json()] == ["Second"]
        assert self.get(f"{self.path}/system", key).status_code == 404
        assert self.post(f"{self.path}/entries", self.entry(), key).status_code == 404

    def test_it_reaches_no_further_than_its_scope_and_role(self) -> None:
        reading = tokens.make(self.owner, "eye", "read", None)
        assert self.wrong(self.post(f"{self.path}/entries", self.entry(), reading), 403)["field"] == "token"
        reader = self.made_up.keeper("reader")
        keep(self.loop, reader, "reader")
        mine = tokens.make(reader, "mine", "all", None)
        assert self.get(f"{self.path}/system", mine).status_code == 200
        assert self.wrong(self.post(f"{self.path}/entries", self.entry(), mine), 403)["field"] == "role"
        helper = self.made_up.keeper("helper")
        keep(self.loop, helper, "helper")
        hand = tokens.make(helper, "hand", "all", None)
        set_up = self.entry(kind="set_up", payload={"system": self.made_up.system().model_dump(mode="json")})
        assert self.wrong(self.post(f"{self.path}/entries", set_up, hand), 403)["allowed"].startswith("needs owner")
        log = tokens.make(self.owner, "log", "log", None)
        assert self.wrong(self.post(f"{self.path}/entries", set_up, log), 403)["field"] == "token"
        stranger = tokens.make(self.made_up.keeper("stranger"), "x", "all", None)
        assert self.get(f"{self.path}/today", stranger).status_code == 404
        assert LogRow.objects.count() == 1

    def test_too_many_requests_have_to_wait(self) -> None:
        self.addCleanup(setattr, base, "PER_MINUTE", base.PER_MINUTE)
        base.PER_MINUTE = 3
        other = tokens.make(self.owner, "other", "read", None)
        assert [self.get("/api/v1/loops").status_code for _ in range(4)] == [200, 200, 200, 429]
        assert self.get("/api/v1/loops")["Retry-After"] == "60"
        assert self.get("/api/v1/loops", other).status_code == 200
        cache.clear()
        assert self.get("/api/v1/loops").status_code == 200


class Entries(Given):
    def test_one_and_a_list_are_stored_with_the_name_of_the_person(self) -> None:
        one = self.entry()
        assert self.post(f"{self.path}/entries", one).json() == {"stored": 1, "known": 0}
        many = [one, self.entry(), self.entry()]
        assert self.post(f"{self.path}/entries", many).json() == {"stored": 2, "known": 1}
        assert set(LogRow.objects.filter(kind="reading").values_list("author", flat=True)) == {"owner"}

    def test_another_entry_under_the_same_uuid_is_refused(self) -> None:
        one = self.entry()
        self.post(f"{self.path}/entries", one)
        other = one | {"payload": READING | {"low": 1.0, "high": 1.0}}
        assert self.wrong(self.post(f"{self.path}/entries", other))["field"] == "uuid"
        assert LogRow.objects.filter(kind="reading").count() == 1

    def test_of_a_list_with_a_fault_nothing_is_stored_and_every_fault_is_told(self) -> None:
        bad = [
            self.entry(),
            self.entry(kind="nonsense"),
            self.entry(payload=READING | {"quantity": "luck"}),
            self.entry(at="yesterday"),
            self.entry(author="somebody else"),
            "text",
        ]
        errors = self.post(f"{self.path}/entries", bad).json()["errors"]
        assert [(one["row"], one["field"]) for one in errors] == [
            (1, "kind"), (2, "payload.quantity"), (3, "at"), (4, "author"), (5, "entry"),
        ]  # fmt: skip
        assert all(one["allowed"] for one in errors)
        assert LogRow.objects.count() == 1

    def test_what_cannot_have_happened_is_refused(self) -> None:
        early = (self.made_up.started - timedelta(days=2)).isoformat() + "T08:00:00Z"
        late = (clock.now() + timedelta(hours=2)).isoformat()
        for at in (early, late, "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"):
            assert self.wrong(self.post(f"{self.path}/entries", self.entry(at=at)))["field"] == "at"
        died = self.entry(kind="fish_died", payload={"group": "nobody", "count": 3})
        assert "group" in self.wrong(self.post(f"{self.path}/entries", died))["field"]

    def test_days_away_that_meet_are_refused_with_their_field_and_stored_by_none_of_a_list(self) -> None:
        def away(first: int, last: int) -> dict[str, object]:
            days = {"first": str(self.on + timedelta(days=first)), "last": str(self.on + timedelta(days=last))}
            return self.entry(kind="away", payload={"name": "Half term", "feed_share": 0.5, "by": "Ann"} | days)

        kept = away(10, 20)
        assert self.post(f"{self.path}/entries", kept).json() == {"stored": 1, "known": 0}
        late = away(15, 25)
        for sent in (late, [away(30, 31), late], [away(40, 45), away(44, 50)]):
            wrong = self.wrong(self.post(f"{self.path}/entries", sent))
            assert wrong["field"].endswith(".first")
            assert "Half term" in wrong["allowed"]
        assert LogRow.objects.filter(loop=self.loop, kind="away").count() == 1
        # Sent again, as a device without network does, it is known and nothing is wrong.
        assert self.post(f"{self.path}/entries", kept).json() == {"stored": 0, "known": 1}

    def test_what_is_no_json_or_cannot_be_stored_is_named(self) -> None:
        bodies = (b"", b"{", b"\xff\xfe", b"[]", b"null", b"NaN", b"1" * 5000, b"[" * 3000 + b"]" * 3000)
        for body in bodies:
            assert self.wrong(self.post(f"{self.path}/entries", body))["allowed"], body[:20]
        for text in ("a\x00b", "\ud800"):
            answer = self.post(f"{self.path}/entries", self.entry(kind="note", payload={"text": text}))
            assert self.wrong(answer)["field"] == "payload.text"
        assert self.wrong(self.post(f"{self.path}/entries", b" " * 3_000_000), 413)["field"] == "body"
        assert self.wrong(self.post(f"{self.path}/entries", [self.entry()] * 501))["value"] == "501 entries"

    def test_what_is_refused_reads_the_same_whatever_language_is_asked_for(self) -> None:
        dose = {"substance": "urea", "amount": {"value": 5, "unit": "g"}, "strength_pct": 20, "density_g_ml": 0.1}
        told = {"uuid": str(uuid4()), "at": clock.now().isoformat(), "kind": "dosed", "payload": dose}
        said = set()
        for language in ("de-DE", "en-US", ""):
            headers = {"Authorization": f"Bearer {self.key}", "Accept-Language": language}
            path = f"{self.path}/entries"
            answer = Client().post(path, json.dumps(told), content_type="application/json", headers=headers)
            assert answer.status_code == 422
            said.add(answer.content.decode())
        assert len(said) == 1
        assert "must be more than 0.5" in said.pop()

    def test_entries_come_in_pages_and_by_kind_and_time(self) -> None:
        self.post(f"{self.path}/entries", [self.entry() for _ in range(5)])
        seen, after = [], 0
        while after is not None:
            page = self.get(f"{self.path}/entries", after=after, limit=2).json()
            seen += [one["uuid"] for one in page["entries"]]
            after = page["after"]
        assert seen == [str(row.uuid) for row in LogRow.objects.order_by("pk")]
        assert len(self.get(f"{self.path}/entries", kind="reading").json()["entries"]) == 5
        noon = (clock.now() - timedelta(minutes=90)).isoformat()
        assert len(self.get(f"{self.path}/entries", since=noon).json()["entries"]) == 5
        assert len(self.get(f"{self.path}/entries", until=noon).json()["entries"]) == 1
        for name, value in (("kind", "x"), ("limit", 0), ("limit", "x"), ("after", -1), ("since", "2031-01-01T00:00")):
            assert self.wrong(self.get(f"{self.path}/entries", **{name: value}))["field"] == name

    def test_a_helper_corrects_only_their_own_entries(self) -> None:
        helper = self.made_up.keeper("helper")
        keep(self.loop, helper, "helper")
        hand = tokens.make(helper, "hand", "log", None)
        theirs = self.entry()
        self.post(f"{self.path}/entries", theirs)
        back = self.entry(kind="withdrawn", payload={}, supersedes=theirs["uuid"])
        assert self.wrong(self.post(f"{self.path}/entries", back, hand))["field"] == "supersedes"
        assert self.post(f"{self.path}/entries", back).status_code == 200


class Answers(Given):
    """The same numbers from the interface, the pages and the command line."""

    @pytest.fixture(autouse=True)
    def _few(self, monkeypatch, tmp_path, capsys) -> None:
        monkeypatch.setattr(store, "MEMBERS", 50)
        self.folder, self.capsys = tmp_path, capsys

    def setUp(self) -> None:
        super().setUp()
        self.post(f"{self.path}/entries", [self.entry(), self.entry(kind="note", payload={"text": "x"})])

    def told(self, *args: object) -> dict[str, object]:
        write_system(bridge.first_system(bridge.entries(self.loop)), self.folder / "system.toml")
        write_log(bridge.entries(self.loop), self.folder / "log.jsonl")
        loop = [str(self.folder / "system.toml"), "--log", str(self.folder / "log.jsonl"), "--on", str(self.on)]
        assert cli.main([str(args[0]), *loop, "--json", *map(str, args[1:])]) == 0
        return json.loads(self.capsys.readouterr().out)

    def test_before_a_forecast_they_are_empty_and_say_so(self) -> None:
        for name in ("today", "forecast", "fish", "room", "nutrients"):
            answer = self.get(f"{self.path}/{name}").json()
            assert answer["fresh"] is False
            assert answer[name] is None

    def test_they_are_those_of_the_pages_and_of_the_command_line(self) -> None:
        store.work_out(self.loop, self.on)
        plans.work_out(self.loop, self.on)
        page = store.latest(self.loop, self.on)
        answer = self.get(f"{self.path}/today").json()
        assert answer["fresh"] is True
        assert answer["today"] == plain(page.today) == self.told("today", "--members", 50)
        mine = self.get(f"{self.path}/forecast").json()
        assert mine["forecast"] == plain(page.outlook)
        theirs = self.told("forecast", "--members", 50, "--every", store.EVERY_DAYS)
        rows = {row["on"]: row for row in mine["forecast"]["rows"]}
        both = [row for row in theirs["rows"] if row["on"] in rows]
        assert len(both) > 50
        assert all(rows[row["on"]] == row for row in both)
        assert self.get(f"{self.path}/room").json()["room"] == answer["today"]["room"]
        assert self.get(f"{self.path}/fish").json()["fish"] == self.told("fish", "--members", 50)
        books = self.get(f"{self.path}/nutrients").json()["nutrients"]["ledger"]
        assert books["last"] == self.told("nutrients", "--members", 50)["nutrients"]["ledger"]["last"]

    def test_they_have_the_shape_that_the_document_says(self) -> None:
        store.work_out(self.loop, self.on)
        plans.work_out(self.loop, self.on)
        document = schema()
        for path, verbs in document["paths"].items():
            if "get" not in verbs:
                continue
            asked = {"goal": "raise_alkalinity", "target": 2} if path.endswith("/dose") else {}
            answer = self.get(path.replace("{loop_id}", str(self.loop.pk)), **asked)
            assert answer.status_code == 200, (path, answer.content)
            told = verbs["get"]["responses"]["200"]["content"]["application/json"]["schema"]
            whole = told | {"components": document["components"]}
            faults = jsonschema_rs.Draft202012Validator(whole).iter_errors(answer.json())
            assert [f"{path} {one.instance_path}: {one.message[:200]}" for one in faults][:5] == []

    def test_a_case_is_judged_as_on_the_command_line(self) -> None:
        system = {"litres": 500, "species": "tilapia", "count": 10, "basis": "n"}
        case = {"system": system, "log": [{"day": 0, "tan": ">=4", "ph": 7.4}], "see": {"gasping": "all"}}
        text = '[system]\nlitres = 500\nspecies = "tilapia"\ncount = 10\nbasis = "n"\n'
        text += '[[log]]\nday = 0\ntan = ">=4"\nph = 7.4\n[see]\ngasping = "all"\n'
        (self.folder / "case.toml").write_text(text)
        answer = self.post("/api/v1/check", case)
        assert answer.status_code == 200, answer.content
        assert cli.main(["check", str(self.folder / "case.toml"), "--json"]) == 0
        assert answer.json() == json.loads(self.capsys.readouterr().out)


class Reference(Given):
    def test_every_address_and_record_stands_on_a_page_without_any_script_from_elsewhere(self) -> None:
        client = Client()
        client.force_login(self.owner)
        page = client.get("/api/reference").content.decode()
        for path in schema()["paths"]:
            assert path in page
        for name in schema()["components"]["schemas"]:
            assert f'id="r-{name}"' in page
        for target in re.findall(r'href="#r-([^"]+)"', page):
            assert f'id="r-{target}"' in page
        assert "//" not in re.sub(
            r'(https?://testserver|href="http://testserver)', "", page.split("<main")[1].split("curl")[0]
        )

    def test_the_document_needs_no_token_and_holds_no_data(self) -> None:
        answer = Client().get("/api/v1/openapi.json")
        assert answer.json()["openapi"].startswith("3.1")
        assert "Made-up" not in answer.content.decode()
