"""Trouble from whatever is seen: what to do first, what not to do, one question, and nothing stored unasked."""

from datetime import UTC, date, datetime
from uuid import uuid4

from django.contrib.auth.models import User
from django.test import TestCase

from rillbed.facts import trouble as table
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.web import bridge
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import LogRow, Loop
from rillbed.web.trouble import asking

STARTED = date(2026, 4, 1)
LOOP = System.make(
    {
        "name": "Made-up loop",
        "latitude_deg": 48,
        "place": "greenhouse",
        "startup_path": "running",
        "tanks": [{"name": "tank", "volume_l": 900}],
        "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 20}],
        "started_on": STARTED,
    }
)


class TroubleTest(TestCase):
    @classmethod
    def setUpTestData(cls) -> None:
        cls.person = User.objects.create(username="keeper")
        loop = Loop.objects.create(name=LOOP.name)
        keep(loop, cls.person)
        at = datetime(2026, 4, 1, 8, tzinfo=UTC)
        fish = {"species": "nile_tilapia", "count": 20, "weight": "80 g", "group": "tank"}
        for kind, payload in (("set_up", {"system": LOOP}), ("fish_in", fish)):
            bridge.add(loop, LogEntry.make({"uuid": uuid4(), "at": at, "kind": kind, "payload": payload}))

    def setUp(self) -> None:
        self.client.force_login(self.person)

    def page(self, path: str = "/trouble", **seen: str) -> str:
        return self.client.get(path, seen).content.decode()

    def test_gasping_fish_get_air_first(self) -> None:
        page = self.page(gasping="all")
        first, later = page.index("Do this"), page.index("What it may be")
        assert "air" in page[first:later].lower()
        assert page.index('class="rill"') < page.index("Find out next")

    def test_each_answer_of_the_question_keeps_what_was_said_before(self) -> None:
        page = self.page(gasping="some")
        ask = page[page.index('id="ask"') : page.index("</section>", page.index('id="ask"'))]
        assert 'href="/trouble?gasping=some&amp;' in ask or 'href="/water"' in ask

    def test_looking_stores_nothing_and_writing_down_stores_what_is_seen(self) -> None:
        before = LogRow.objects.count()
        self.page(power="off", dying="overnight")
        assert LogRow.objects.count() == before
        assert self.client.post("/trouble", {"power": "off", "dying": "overnight"}).status_code == 302
        assert LogRow.objects.filter(kind="observation").count() == 2

    def test_an_answer_that_does_not_exist_is_refused_with_those_that_do(self) -> None:
        answer = self.client.get("/trouble", {"gasping": "loudly"})
        assert answer.status_code == 400
        assert "no, some, all" in answer.content.decode()

    def test_every_way_to_begin_says_something_to_do(self) -> None:
        for label, query in asking.begin():
            page = self.client.get(f"/trouble?{query}").content.decode()
            assert 'class="rill"' in page, label

    def test_every_clue_that_can_be_seen_is_on_the_page(self) -> None:
        shown = {code for _, codes in asking.GROUPS for code in codes}
        seen = {code for code, clue in table.clues().items() if clue.minutes > 0.0 and not clue.quantity}
        assert seen - shown <= {"stage"}  # the log knows how long the loop runs

    def test_the_sheet_has_what_helpers_ask_for(self) -> None:
        page = self.page("/trouble/sheet")
        for name in ("Water", "Fish", "Running for", "Fresh water from", "Feed", "Temperature", "Beds", "What is seen"):
            assert f"<dt>{name}</dt>" in page

    def test_the_sheet_is_one_file_that_needs_nothing_else(self) -> None:
        answer = self.client.get("/trouble/sheet.html")
        text = answer.content.decode()
        assert "attachment" in answer["Content-Disposition"]
        assert "<style>" in text
        assert "--ink" in text
        for outside in ("<script", "<link", "src=", "href=", "@import", "url("):
            assert outside not in text.split("</style>")[1], outside
        assert "@import" not in text
