"""Two people feed the fish once: the second is told who fed and when, and asked."""

import json
from datetime import timedelta
from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client, TestCase, TransactionTestCase

from rillbed.web import clock
from rillbed.web.frame.loops import keep
from rillbed.web.log.erase import erase
from rillbed.web.log.models import LogRow

FED = {"feed": "pellet_32", "amount": {"value": 12, "unit": "g"}}


def feeding(**more: str) -> dict[str, str]:
    return {"uuid": str(uuid4()), "kind": "feeding", "payload": json.dumps(FED)} | more


class Two:
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system(meals_per_day=2), self.made_up.keeper("owner"))
        keep(self.loop, self.made_up.keeper("helper"), "helper")
        self.owner, self.helper = (self.signed_in(name) for name in ("owner", "helper"))

    def signed_in(self, name: str) -> Client:
        client = Client()
        client.force_login(self.made_up.keeper(name))
        return client

    def fed(self) -> int:
        return LogRow.objects.filter(kind="feeding").count()


class FedOnce(Two, TestCase):
    def test_the_second_person_is_told_who_fed_and_asked(self) -> None:
        self.owner.post("/done", feeding())
        form = feeding()
        asked = self.helper.post("/done", form)
        text = asked.content.decode()
        assert asked.status_code == 400
        assert "Once more?" in text
        assert "Fed the fish 12\N{NO-BREAK SPACE}g" in text
        assert "by owner." in text
        assert self.fed() == 1
        assert self.helper.post("/done", form | {"anyway": "1"}).status_code == 302
        assert self.fed() == 2

    def test_one_person_is_asked_only_beyond_the_meals_of_the_day(self) -> None:
        for _ in range(2):
            assert self.owner.post("/done", feeding()).status_code == 302
        assert self.owner.post("/done", feeding()).status_code == 400
        assert self.fed() == 2

    def test_the_next_day_nobody_is_asked(self) -> None:
        self.owner.post("/done", feeding())
        clock.pretend(self.made_up.started + timedelta(days=9))
        assert self.helper.post("/done", feeding()).status_code == 302

    def test_other_fish_are_other_meals(self) -> None:
        for name in ("first", "second"):
            fish = {"species": "silver_perch", "count": 5, "weight": {"value": 40, "unit": "g"}, "group": name}
            entry = {"uuid": str(uuid4()), "kind": "fish_in", "payload": json.dumps(fish)}
            assert self.owner.post("/done", entry).status_code == 302
        for client, name in ((self.owner, "first"), (self.helper, "second")):
            entry = feeding() | {"payload": json.dumps(FED | {"group": name})}
            assert client.post("/done", entry).status_code == 302
        assert self.fed() == 2

    def test_a_job_pressed_by_two_is_written_once_and_the_second_hears_by_whom(self) -> None:
        form = feeding()
        self.owner.post("/done", form)
        page = self.helper.post("/done", form, follow=True)
        assert self.fed() == 1
        assert "owner wrote this down already" in page.content.decode()
        again = self.owner.post("/done", form, follow=True)
        assert "wrote this down already" not in again.content.decode()

    def test_a_feeding_taken_back_does_not_count(self) -> None:
        form = feeding()
        self.owner.post("/done", form)
        self.owner.post("/log/withdraw", {"uuid": str(uuid4()), "entry": form["uuid"]})
        assert self.helper.post("/done", feeding()).status_code == 302

    def test_the_list_of_loops_says_who_fed(self) -> None:
        from rillbed.web.frame.loops import loops_of
        from rillbed.web.loops import page

        loop = loops_of(self.made_up.keeper("owner")).get()
        system = self.made_up.system(meals_per_day=2)
        assert page._fed(loop, system) == "not yet"
        self.helper.post("/done", feeding())
        assert page._fed(loop, system).endswith(" by helper")


class FedAtOnce(Two, TransactionTestCase):
    def tearDown(self) -> None:
        erase(self.loop)  # the lock on its rows opens in no other way

    def test_of_two_in_the_same_moment_one_is_asked(self) -> None:
        start, codes = Barrier(2), []

        def press(client: Client) -> None:
            start.wait()
            codes.append(client.post("/done", feeding()).status_code)
            connection.close()

        both = [Thread(target=press, args=(client,)) for client in (self.owner, self.helper)]
        for one in both:
            one.start()
        for one in both:
            one.join(20)
        assert sorted(codes) == [302, 400]
        assert self.fed() == 1
