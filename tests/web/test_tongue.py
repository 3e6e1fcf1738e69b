"""Every page in a made-up language: what is not marked was forgotten."""

from datetime import date

import pytest
from django.conf import settings
from django.test import Client, TestCase, override_settings
from django.utils.translation import trans_real
from tests import tongues

from rillbed import tongue
from rillbed.web import bridge, clock
from rillbed.web.forecasts import worker
from rillbed.web.frame.pages import doors
from rillbed.web.log.models import Loop
from rillbed.web.people import seed

AWAY = (
    "/away/shares?first=2031-06-01&last=2031-06-10", "/paper/away?first=2031-06-01&last=2031-06-10&share=0.5",
)  # fmt: skip
MORE = (
    "/setup/new", "/log/add/feeding", "/log/add/reading", "/log/add/planted", "/log/add/dosed", "/oxygen/card",
    "/trouble/sheet", "/nutrients/leaves", "/household", "/products", "/source-water", "/paper/week", "/paper/log",
    "/paper/cards", "/trouble?gasping=all", "/what-if?kind=outage&hours=6&show=1", "/no/such/page", "/pages", "/size",
    "/loops/1/erase", *AWAY,
)  # fmt: skip


class Tongues(TestCase):
    @pytest.fixture(autouse=True)
    def _marks(self, marks, monkeypatch) -> None:
        monkeypatch.setattr(tongue, "LOCALE", marks)
        self.marks = marks

    def test_every_page_speaks_the_language_of_its_reader(self) -> None:
        on = date(2031, 5, 22)
        clock.pretend(on)
        self.addCleanup(clock.pretend, None)
        person = seed.example(on)
        worker.catch_up()
        worker.plan_up()
        loop = Loop.objects.get()
        names = given_names(loop, person)
        client = Client(headers={"accept-language": tongues.TAG})
        client.force_login(person)
        forgotten: dict[str, list[str]] = {}
        with override_settings(LOCALE_PATHS=[str(self.marks)]):
            trans_real._translations.clear()
            self.addCleanup(trans_real._translations.clear)
            for path in AWAY:
                found = tongues.unspoken(client.get(path).content.decode(), names)
                assert (path, found) == (path, []), "still waiting"
            worker.plan_up()
            for path in dict.fromkeys([*(door.path for door in doors("/")), *MORE]):
                found = tongues.unspoken(client.get(path).content.decode(), names)
                if found:
                    forgotten[path] = found
        assert forgotten == {}
        assert settings.LANGUAGE_CODE == "en"


def given_names(loop: Loop, person) -> set[str]:
    system = bridge.standing_system(loop)
    rows = [*system.tanks, *system.beds, *system.kits]
    return {loop.name, person.get_username(), *(row.name for row in rows)}
