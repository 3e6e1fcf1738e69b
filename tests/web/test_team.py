"""Invitations, roles, pages for everybody, and the record of who let whom in."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.test import Client, TestCase

from rillbed.garden.errors import GardenError
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.frame.loops import keep, loops_of
from rillbed.web.log.models import Keeper, LogRow
from rillbed.web.people import members
from rillbed.web.people.models import Change, Invitation, Share

PHRASE = "four plain words here"


class Team(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.owner = self.made_up.keeper("owner")
        self.loop = self.made_up.loop(self.made_up.system(name="Fig loop"), self.owner)
        self.client.force_login(self.owner)

    def link(self, role: str) -> str:
        page = self.client.post("/people/invite", {"role": role}).content.decode()
        return re.search(r'value="http://testserver(/join/[^"]+)"', page)[1]


class Invitations(Team):
    def test_a_link_makes_one_account_with_its_role_once(self) -> None:
        link = self.link("helper")
        guest = Client()
        assert "invites you to Fig loop" in guest.get(link).content.decode()
        assert guest.post(link, {"name": "evenings", "phrase": PHRASE})["Location"] == "/"
        assert guest.get("/pages").status_code == 200
        assert Keeper.objects.get(person__username="evenings").role == "helper"
        assert Client().get(link).status_code == 410
        assert Client().post(link, {"name": "another", "phrase": PHRASE}).status_code == 410
        assert not User.objects.filter(username="another").exists()

    def test_looking_at_a_link_does_not_use_it(self) -> None:
        link = self.link("reader")
        for _ in range(3):
            assert Client().get(link).status_code == 200
        assert Invitation.objects.get().used_at is None

    def test_somebody_with_an_account_comes_in_with_it(self) -> None:
        link = self.link("reader")
        guest = Client()
        guest.force_login(self.made_up.keeper("class"))
        assert guest.post(link)["Location"] == "/"
        assert loops_of(User.objects.get(username="class")).get().role == "reader"

    def test_a_lower_invitation_takes_no_role_away(self) -> None:
        assert self.client.post(self.link("reader")).status_code == 302
        assert Keeper.objects.get(person=self.owner).role == "owner"

    def test_it_ends_by_itself_and_by_hand(self) -> None:
        old, back = self.link("helper"), self.link("helper")
        self.client.post("/people/take-back", {"key": Invitation.objects.first().pk})
        assert Client().get(back).status_code == 410
        assert Client().get(old).status_code == 200
        clock.pretend(self.made_up.started + timedelta(days=8 + members.DAYS + 1))
        assert Client().get(old).status_code == 410

    def test_only_its_digest_is_kept(self) -> None:
        secret = self.link("helper").rpartition("/")[2]
        assert secret not in str(list(Invitation.objects.values())) + str(list(Change.objects.values()))
        assert secret not in self.client.get("/people").content.decode()

    def test_a_name_that_is_taken_or_an_easy_phrase_keeps_the_link_open(self) -> None:
        link = self.link("helper")
        taken = Client().post(link, {"name": "owner", "phrase": PHRASE})
        assert taken.status_code == 400
        assert "has this name already" in taken.content.decode()
        assert Client().post(link, {"name": "new", "phrase": "password"}).status_code == 400
        assert Client().get(link).status_code == 200
        assert User.objects.count() == 1

    def test_the_links_of_an_owner_who_is_one_no_more_are_dead(self) -> None:
        second = self.made_up.keeper("second")
        keep(self.loop, second)
        secret = members.invite(self.loop, second, "owner")
        members.set_role(self.loop, self.owner, Keeper.objects.get(person=second).pk, "helper")
        assert members.invitation_of(secret) is None

    def test_a_role_there_is_not_is_named(self) -> None:
        answer = self.client.post("/people/invite", {"role": "king"})
        assert answer.status_code == 400
        assert "must be one of reader, helper, owner" in answer.content.decode()

    def test_there_is_no_other_way_to_an_account(self) -> None:
        before = User.objects.count()
        for path in ("/join/x", "/first/x", "/sign-in", "/people/invite"):
            Client().post(path, {"name": "new", "phrase": PHRASE, "role": "owner"})
        assert User.objects.count() == before


class Roles(Team):
    def test_roles_are_given_and_taken(self) -> None:
        helper = self.made_up.keeper("helper")
        keep(self.loop, helper, "helper")
        key = Keeper.objects.get(person=helper).pk
        self.client.post("/people/role", {"key": key, "role": "reader"})
        assert loops_of(helper).get().role == "reader"
        self.client.post("/people/role", {"key": key, "remove": "1"})
        assert not loops_of(helper).exists()
        told = self.client.get("/people").content.decode()
        assert "helper: helper to reader" in told
        assert "owner removed helper" in told

    def test_the_last_owner_stays(self) -> None:
        key = Keeper.objects.get(person=self.owner).pk
        for path, form in (
            ("leave", {}),
            ("role", {"key": key, "role": "reader"}),
            ("role", {"key": key, "remove": 1}),
        ):
            answer = self.client.post(f"/people/{path}", form)
            assert answer.status_code == 400
            assert "the last owner stays" in answer.content.decode()
        second = self.made_up.keeper("second")
        keep(self.loop, second)
        assert self.client.post("/people/leave").status_code == 302
        assert not loops_of(self.owner).exists()
        with pytest.raises(GardenError, match="last owner"):
            members.set_role(self.loop, second, Keeper.objects.get().pk, "")

    def test_somebody_of_another_loop_is_not_reached(self) -> None:
        other = self.made_up.loop(self.made_up.system(name="Other"), self.made_up.keeper("other"))
        key = Keeper.objects.get(loop=other).pk
        assert self.client.post("/people/role", {"key": key, "remove": "1"}).status_code == 400
        assert Keeper.objects.filter(loop=other).exists()

    def test_a_helper_corrects_and_takes_back_only_their_own(self) -> None:
        helper = self.made_up.keeper("helper")
        keep(self.loop, helper, "helper")
        hand = Client()
        hand.force_login(helper)
        note = {"kind": "note", "payload": '{"text": "first"}'}
        self.client.post("/done", note | {"uuid": str(uuid4())})
        theirs = LogRow.objects.get(author="owner", kind="note").uuid
        hand.post("/done", note | {"uuid": str(uuid4())})
        own = LogRow.objects.get(author="helper").uuid
        form = {"uuid": str(uuid4()), "text": "second"}
        assert hand.get(f"/log/{theirs}/correct").status_code == 403
        assert hand.post(f"/log/{theirs}/correct", form).status_code == 403
        assert hand.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [str(theirs), str(own)]}).status_code == 403
        assert LogRow.objects.filter(supersedes__isnull=False).count() == 0
        assert hand.post(f"/log/{own}/correct", form).status_code == 302
        listed = hand.get("/log").content.decode()
        assert f"/log/{theirs}/correct" not in listed
        assert self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": str(own)}).status_code == 302

    def test_a_reader_is_shown_no_button_that_does_nothing(self) -> None:
        reader = self.made_up.keeper("reader")
        keep(self.loop, reader, "reader")
        eye = Client()
        eye.force_login(reader)
        assert "Write something down" not in eye.get("/log").content.decode()
        assert "you are a reader" in eye.get("/people").content.decode()
        assert "Invite somebody" not in eye.get("/people").content.decode()


class Shared(Team):
    def address(self, **form: str) -> str:
        page = self.client.post("/people/share", form).content.decode()
        return re.search(r'value="http://testserver(/shared/[^"]+)"', page)[1]

    def test_it_names_nobody_and_can_be_closed(self) -> None:
        self.client.post("/done", {"uuid": str(uuid4()), "kind": "note", "payload": '{"text": "told by Fig"}'})
        link = self.address()
        answer = Client().get(link)
        text = answer.content.decode()
        assert answer.status_code == 200
        assert answer["X-Robots-Tag"] == "noindex"
        assert "no-store" in answer["Cache-Control"]
        assert members.SHARED_TITLE in text
        for word in ("Fig", "owner", "<form"):
            assert word not in text
        assert Client().post(link).status_code == 405
        self.client.post("/people/take-back", {"what": "share", "key": Share.objects.get().pk})
        assert Client().get(link).status_code == 410

    def test_with_a_forecast_it_shows_beds_and_fish_by_name_but_nobody_and_no_days_away(self) -> None:
        system = self.made_up.system(name="Fig loop", startup_path="running", heater_set_c=24, feed="pellet_32")
        loop = self.made_up.loop(system, self.owner)
        came = clock.now() - timedelta(days=6)
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "Goldies"}
        today = clock.today(system)
        spell = {
            "name": "Winter break",
            "by": "Ann",
            "first": today,
            "last": today + timedelta(days=9),
            "feed_share": 0.5,
        }
        bridge.add(
            loop,
            bridge.written(uuid=uuid4(), at=came, author="owner", kind="fish_in", payload=told),
            bridge.written(uuid=uuid4(), at=came, author="owner", kind="away", payload=spell),
        )
        store.work_out(loop, today)
        text = Client().get(f"/shared/{members.share(loop, self.owner, '')}").content.decode()
        assert "To do today" in text
        assert "Goldies" in text
        for word in ("Fig", "owner", "Ann", "Winter break", "Away", "<form"):
            assert word not in text, word
        lede = " ".join(self.client.get("/people").content.decode().split())
        assert "Beds, tanks and groups of fish go by the names you gave them" in lede

    def test_a_title_that_is_too_long_is_kept_and_named(self) -> None:
        answer = self.client.post("/people/share", {"title": "x" * 81})
        assert answer.status_code == 400
        assert "80 letters" in answer.content.decode()
        assert "x" * 81 in answer.content.decode()

    def test_it_opens_nothing_else(self) -> None:
        guest = Client()
        guest.get(self.address())
        assert guest.get("/").status_code == 302

    def test_a_form_that_is_an_owners_says_so_before_it_is_filled(self) -> None:
        helper = self.made_up.keeper("helper")
        keep(self.loop, helper, "helper")
        guest = Client()
        guest.force_login(helper)
        assert "saving on this page takes an owner" in guest.get("/setup").content.decode()
        assert "saving on this page" not in guest.get("/water").content.decode()
        assert "saving on this page" not in self.client.get("/setup").content.decode()
