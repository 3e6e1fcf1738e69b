"""Days away: one or a whole year of them, changed and removed, by whom, and where they show."""

import html
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, TestCase
from icalendar import Calendar, Event

from rillbed.garden.exchange.archive import unpacked
from rillbed.garden.spells import spells
from rillbed.web import bridge, clock
from rillbed.web.exchange.take import file_of, take_in
from rillbed.web.forecasts import aways, store, worker
from rillbed.web.forecasts.models import StoredAway
from rillbed.web.frame.loops import keep
from rillbed.web.log.erase import erase
from rillbed.web.log.models import LogRow


class Given(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up, self.monkeypatch = made_up, monkeypatch
        monkeypatch.setattr(store, "MEMBERS", 20)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        self.at(0)
        self.addCleanup(clock.pretend, None)
        self.owner = self.made_up.keeper()
        self.client.force_login(self.owner)
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running", heater_set_c=25, feed="pellet_32"))
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "fish"}
        at = clock.now() - timedelta(days=35)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="fish_in", payload=told))

    def at(self, days: int) -> None:
        clock.pretend(self.on + timedelta(days=days))

    def day(self, days: int) -> str:
        return (self.on + timedelta(days=days)).isoformat()

    def page(self, path: str = "/away", status: int = 200, client: Client | None = None) -> str:
        answer = (client or self.client).get(path)
        assert answer.status_code == status, path
        return html.unescape(answer.content.decode()).replace("\u00a0", " ")

    def send(self, path: str = "/away", status: int = 302, client: Client | None = None, **typed: object) -> str:
        answer = (client or self.client).post(path, {"uuid": str(uuid4()), "loop": self.loop.pk} | typed)
        assert answer.status_code == status, (path, answer.content.decode()[-2000:])
        return html.unescape(answer.content.decode()).replace("\u00a0", " ")

    def add(self, first: int, last: int, name: str = "Winter break", **more: object) -> None:
        self.send(**{"name": name, "first": self.day(first), "last": self.day(last), "by": "Ann", "feed_share": "0.5"}
                  | more)  # fmt: skip

    def known(self) -> list[tuple[str, date, date, str, float]]:
        return [(s.name, s.first, s.last, s.by, s.feed_share) for _, s in spells(bridge.entries(self.loop))]

    def role(self, name: str, role: str) -> Client:
        person = User.objects.create_user(name)
        keep(self.loop, person, role)
        client = Client()
        client.force_login(person)
        return client


class OneSpell(Given):
    def test_one_is_added_listed_changed_and_removed_and_the_log_keeps_it_all(self) -> None:
        assert "Nothing yet" in self.page()
        self.add(20, 34)
        page = self.page()
        assert "20 days until Winter break." in page
        assert "Ann feeds half the ration" in page
        assert f"/paper/away?first={self.day(20)}&last={self.day(34)}&share=0.5" in page
        ((entry, _),) = spells(bridge.entries(self.loop))
        path = f"/away/{entry.uuid}"
        assert f'value="{self.day(34)}"' in self.page(path)
        self.send(path, name="Winter break", first=self.day(21), last=self.day(30), by="", feed_share="0")
        assert self.known() == [("Winter break", self.on + timedelta(21), self.on + timedelta(30), "", 0.0)]
        # Changed once more under the same address, and removed.
        self.send(path, name="Snow", first=self.day(21), last=self.day(31), by="Ann", feed_share="0.25")
        assert [one[0] for one in self.known()] == ["Snow"]
        self.send(path, remove="1")
        assert self.known() == []
        self.send(path, remove="1")  # pressed twice
        kinds = list(
            LogRow.objects.filter(loop=self.loop, kind__in=("away", "withdrawn")).values_list("kind", flat=True)
        )
        assert sorted(kinds) == ["away", "away", "away", "withdrawn"]

    def test_the_same_form_sent_twice_writes_once(self) -> None:
        key = str(uuid4())
        for _ in range(2):
            self.add(20, 34, uuid=key)
        assert len(self.known()) == 1

    def test_what_cannot_be_is_said_at_its_field_and_nothing_typed_is_lost(self) -> None:
        self.add(20, 34)
        typed = {"name": "Autumn break", "by": "Ann", "feed_share": "0.5"}
        for first, last, field, said in (
            (30, 40, "first", "Winter break"),
            (10, 25, "last", "Winter break"),
            (50, 45, "last", "not be before the first day"),
            (50, 250, "last", "at most 120 days"),
        ):
            answer = self.client.post(
                "/away", typed | {"uuid": str(uuid4()), "first": self.day(first), "last": self.day(last)}
            )
            assert answer.status_code == 400
            shown = {one.name: (one.value, one.problem) for one in answer.context["fields"]}
            assert said in shown[field][1], (field, shown)
            assert shown["name"][0] == "Autumn break"
            assert shown["first"][0] == self.day(first)
        page = self.send(status=400, name="x", first="soon", last="", by="", feed_share="0.5")
        assert 'value="soon"' in page
        assert len(self.known()) == 1

    def test_every_form_that_writes_the_log_refuses_days_that_meet_and_old_ones_that_meet_block_nothing(self) -> None:
        self.add(20, 34)
        typed = {"name": "Trip", "first": self.day(30), "last": self.day(40), "by": "Ann", "feed_share": "0.5"}
        assert "Winter break" in self.send("/log/add/away", 400, **typed)
        self.send("/log/add/away", **typed | {"first": self.day(35)})
        trip = spells(bridge.entries(self.loop))[1][0]
        assert "Winter break" in self.send(f"/log/{trip.uuid}/correct", 400, **typed)
        # Written before the log was asked: still there, still changed, and nothing else waits for it.
        met = {
            "name": "Old",
            "first": self.on + timedelta(30),
            "last": self.on + timedelta(36),
            "by": "",
            "feed_share": 0,
        }
        bridge.store(
            self.loop,
            bridge.written(uuid=uuid4(), at=clock.now(), author="keeper", kind="away", payload=met),
        )
        self.add(60, 61, name="Later")
        old = next(entry for entry, one in spells(bridge.entries(self.loop)) if one.name == "Old")
        self.send(f"/away/{old.uuid}", 400, **typed)
        self.send(f"/away/{old.uuid}", **typed | {"first": self.day(50), "last": self.day(51)})
        assert [one[0] for one in self.known()] == ["Winter break", "Trip", "Trip", "Later"]

    def test_a_reader_looks_a_helper_changes_their_own_an_owner_all(self) -> None:
        self.add(20, 34)
        ((entry, _),) = spells(bridge.entries(self.loop))
        reader, helper = self.role("reads", "reader"), self.role("helps", "helper")
        assert "Winter break" in self.page(client=reader)
        assert "<textarea" not in self.page(client=reader)
        for path in ("/away", "/away/year", f"/away/{entry.uuid}"):
            self.send(path, 403, reader, name="x", first=self.day(60), last=self.day(61), feed_share="0", remove="1")
        self.send(f"/away/{entry.uuid}", 403, helper, remove="1")
        self.send(client=helper, name="Mine", first=self.day(60), last=self.day(61), by="", feed_share="0")
        assert [one[0] for one in self.known()] == ["Winter break", "Mine"]
        mine = spells(bridge.entries(self.loop))[1][0]
        self.send(f"/away/{mine.uuid}", client=helper, remove="1")
        assert [one[0] for one in self.known()] == ["Winter break"]
        stranger = Client()
        stranger.force_login(self.made_up.keeper("stranger"))
        self.made_up.loop(self.made_up.system(name="elsewhere"), User.objects.get(username="stranger"))
        assert "Winter break" not in self.page(client=stranger)
        assert stranger.get(f"/away/{entry.uuid}").status_code == 404
        assert stranger.post(f"/away/{entry.uuid}", {"remove": "1"}).status_code == 404
        assert stranger.post("/away", {"loop": self.loop.pk}).status_code == 404
        assert [one[0] for one in self.known()] == ["Winter break"]


class WholeYear(Given):
    def lines(self, *lines: str) -> str:
        return "\n".join(lines)

    def test_lines_are_tried_first_then_kept_at_once(self) -> None:
        lines = self.lines(
            f"Autumn break, {self.day(20)}, {self.day(29)}",
            f"Winter break; {self.day(60)}; {self.day(75)}; Bo",
            "",
            f"Easter\t{(self.on + timedelta(150)):%d.%m.%Y}\t{(self.on + timedelta(160)):%d.%m.%Y}",
        )
        tried = self.send("/away/year", 200, lines=lines, by="Ann", feed_share="0.25")
        assert "3 would be stored" in tried
        assert "Bo feeds a quarter of the ration" in tried
        assert f"Autumn break, {self.day(20)}" in tried, "the lines stay"
        assert self.known() == []
        self.send("/away/year", lines=lines, by="Ann", feed_share="0.25", keep="1")
        assert [(name, by, share) for name, _, _, by, share in self.known()] == [
            ("Autumn break", "Ann", 0.25), ("Winter break", "Bo", 0.25), ("Easter", "Ann", 0.25),
        ]  # fmt: skip
        assert self.known()[2][1] == self.on + timedelta(150)
        # Once more: all there, nothing written.
        assert "there already" in self.send("/away/year", 200, lines=lines, by="Ann", feed_share="0.25")
        self.send("/away/year", lines=lines, by="Ann", feed_share="0.25", keep="1")
        assert len(self.known()) == 3

    def test_one_bad_line_stores_none_and_is_told_with_what_is_allowed(self) -> None:
        good = f"Autumn break, {self.day(20)}, {self.day(29)}"
        for bad, said in (
            ("x" * 200_000, "name, first"),
            ("Winter break", "name, first day and last day"),
            (f"Winter, {self.day(60)}, 3/4/2031", "such as"),
            (f"Winter, {self.day(60)}, 31.2.2031", "such as"),
            (f"Winter, {self.day(60)}, {self.day(50)}", "not be before"),
            (f"Winter, {self.day(25)}, {self.day(50)}", "line 1"),
            (f", {self.day(60)}, {self.day(61)}", "What for"),
        ):
            page = self.send("/away/year", 400, lines=self.lines(good, bad), by="", feed_share="0", keep="1")
            assert said in page, bad
            assert bad in page, "nothing typed is lost"
            assert "Nothing was stored" in page
        assert self.known() == []
        assert "needs a line" in self.send("/away/year", 400, lines=" ", keep="1").lower()
        many = self.lines(*[f"x, {self.day(20)}, {self.day(21)}"] * 121)
        assert "120 lines" in self.send("/away/year", 400, lines=many)

    def test_who_feeds_must_be_said_if_any_is_fed(self) -> None:
        line = f"x, {self.day(20)}, {self.day(21)}"
        assert "Who feeds must be said" in self.send("/away/year", 400, lines=line, by="", feed_share="0.5", keep="1")
        assert self.known() == []
        self.send("/away/year", lines=line, by="", feed_share="0", keep="1")
        assert len(self.known()) == 1

    def calendar(self) -> bytes:
        found = Calendar()
        for name, first, after in (
            ("Gone by", -40, -30),
            ("Autumn, half term", 20, 30),
            ("Winter break", 60, 76),
        ):
            event = Event()
            event.add("summary", name)
            event.add("dtstart", self.on + timedelta(first))
            event.add("dtend", self.on + timedelta(after))
            found.add_component(event)
        event = Event()
        event.add("summary", "School fair")
        event.add("dtstart", datetime.combine(self.on + timedelta(100), datetime.min.time(), UTC).replace(hour=9))
        found.add_component(event)
        return found.to_ical()

    def test_a_calendar_file_becomes_lines_to_look_over_and_is_not_kept_unseen(self) -> None:
        file = SimpleUploadedFile("terms.ics", self.calendar(), "text/calendar")
        page = self.send("/away/year", 200, file=file, by="Ann", feed_share="0.5", keep="1")
        assert f"Autumn half term, {self.day(20)}, {self.day(29)}" in page
        assert f"Winter break, {self.day(60)}, {self.day(75)}" in page
        assert f"School fair, {self.day(100)}, {self.day(100)}" in page
        assert "Gone by" not in page
        assert self.known() == []

    def read(self, *events: str, status: int = 200) -> tuple[list[list[str]], str]:
        """Send events as a file; give the lines as cells, and the page."""
        told = "".join(f"BEGIN:VEVENT\r\n{event}\r\nEND:VEVENT\r\n" for event in events)
        file = SimpleUploadedFile("terms.ics", f"BEGIN:VCALENDAR\r\n{told}END:VCALENDAR\r\n".encode())
        page = self.send("/away/year", status, file=file, by="Ann", feed_share="0.5")
        lines = page.split("<textarea")[1].split(">", 1)[1].split("</textarea>")[0].splitlines()
        return [line.split(", ") for line in lines if line], page

    def on_day(self, n: int) -> str:
        return f"{self.on + timedelta(days=n):%Y%m%d}"

    def test_an_event_that_repeats_stands_on_each_of_its_days_within_400(self) -> None:
        assert self.on == date(2031, 5, 11)
        for text, days in (
            ("DTSTART;VALUE=DATE:19991225\r\nRRULE:FREQ=YEARLY", ["2031-12-25"]),
            ("DTSTART;VALUE=DATE:20010601\r\nRRULE:FREQ=YEARLY", ["2031-06-01", "2032-06-01"]),
            # The fourth Thursday of November.
            ("DTSTART;VALUE=DATE:20301128\r\nRRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=4TH", ["2031-11-27"]),
            ("DTSTART;TZID=Asia/Tokyo:20301225T060000\r\nRRULE:FREQ=YEARLY", ["2031-12-24"]),
        ):
            lines, page = self.read(f"SUMMARY:Holiday\r\n{text}")
            assert [line[1] for line in lines] == days, text
            assert ("Holiday repeats: 2 dates until" in page) == (len(days) == 2)

        weekend = (
            f"SUMMARY:Weekend\r\nDTSTART;VALUE=DATE:{self.on_day(2)}\r\nDTEND;VALUE=DATE:{self.on_day(4)}\r\n"
            f"EXDATE;VALUE=DATE:{self.on_day(9)}\r\nRRULE:FREQ=WEEKLY"
        )
        lines, page = self.read(weekend)
        wanted = [(self.day(n), self.day(n + 1)) for n in range(2, 401, 7) if n != 9]
        assert [(first, last) for _, first, last in lines] == wanted
        assert f"Weekend repeats: {len(wanted)} dates until {wanted[-1][0]}" in page
        assert f"{len(wanted)} would be stored" in page

    def test_a_rule_ends_where_it_says_and_a_moved_date_stands_once(self) -> None:
        begin = f"UID:a\r\nSUMMARY:Trip\r\nDTSTART;VALUE=DATE:{self.on_day(1)}\r\nRRULE:FREQ="
        for rule, days in (
            ("WEEKLY;COUNT=3", (1, 8, 15)),
            (f"WEEKLY;INTERVAL=2;UNTIL={self.on_day(29)}", (1, 15, 29)),
            (f"WEEKLY;UNTIL={self.on_day(8)}T235959Z", (1, 8)),
            ("DAILY;INTERVAL=200", (1, 201)),
        ):
            lines, _ = self.read(begin + rule)
            assert [line[1] for line in lines] == [self.day(n) for n in days], rule
        moved = f"UID:a\r\nSUMMARY:Trip\r\nRECURRENCE-ID;VALUE=DATE:{self.on_day(8)}\r\n"
        lines, _ = self.read(f"{begin}WEEKLY;COUNT=3", f"{moved}DTSTART;VALUE=DATE:{self.on_day(10)}")
        assert [line[1] for line in lines] == [self.day(n) for n in (1, 10, 15)]

    def test_a_rule_that_is_not_gone_through_is_said_and_never_hangs(self) -> None:
        for rule in (
            "SECONDLY", "HOURLY;INTERVAL=5", "DAILY;BYHOUR=1,2,3", "YEARLY;BYWEEKNO=3", "WEEKLY;INTERVAL=0",
            "WEEKLY;BYDAY=9ZZ",
        ):  # fmt: skip
            lines, page = self.read(f"SUMMARY:Odd\r\nDTSTART;VALUE=DATE:{self.on_day(1)}\r\nRRULE:FREQ={rule}")
            assert [line[1] for line in lines] == [self.day(1)], rule
            assert "Odd repeats. Only its first date" in page, rule
        never = f"SUMMARY:Odd\r\nDTSTART;VALUE=DATE:{self.on_day(1)}\r\nRRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"
        assert [line[1] for line in self.read(never)[0]] == [self.day(1)], "no day fits, so only the first"
        past = f"SUMMARY:Odd\r\nDTSTART;VALUE=DATE:{self.on_day(-9)}\r\nRRULE:FREQ=HOURLY"
        assert "Odd repeats. Only its first date" in self.read(past, status=400)[1], "nothing to come, but that is said"

    def test_what_is_no_calendar_is_refused_in_words(self) -> None:
        for data in (b"", b"no calendar", b"BEGIN:VCALENDAR\nBEGIN:VEVENT\nDTSTART:soon\nEND:VEVENT\nEND:VCALENDAR",
                     b"\xff\xfe\x00", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"):  # fmt: skip
            page = self.send("/away/year", 400, file=SimpleUploadedFile("x.ics", data), lines="kept, too")
            assert "iCalendar" in page or "date from" in page, data
            assert "kept, too" in page


class WhereItShows(Given):
    def test_today_says_what_to_do_before_on_the_day_in_it_and_after(self) -> None:
        self.add(20, 29)
        store.work_out(self.loop, self.on)
        self.page()  # takes up what was said of the saving
        assert "Winter break" not in self.page("/")
        seen = {}
        for days in (7, 14, 19, 22, 30, 33, 50):
            self.at(days)
            store.work_out(self.loop, self.on + timedelta(days))
            seen[days] = self.page("/")
        assert "Winter break in 13 days" in seen[7]
        assert "The last day for a large clean of a bed" in seen[7]
        assert "/paper/away?first=" in seen[7]
        assert "No large clean of a bed now" in seen[14]
        assert "Hand over today: Winter break" in seen[19]
        assert "Away: Winter break" in seen[22]
        assert "only a part is given" in seen[22]
        assert "Back from Winter break" in seen[30]
        assert "Back from Winter break" in seen[33]
        assert "Winter break" not in seen[50]
        self.add(36, 37, name="Trip")
        self.at(35)
        both = self.page("/")
        assert both.index("Hand over today: Trip") < both.index("To do, most urgent first") < both.index("Back from")

    def test_the_forecast_that_pages_show_knows_it_and_is_made_anew_when_it_changes(self) -> None:
        store.work_out(self.loop, self.on)
        before = store.latest(self.loop, self.on)
        self.add(3, 5, feed_share="0", by="")
        assert not store.is_fresh(self.loop, self.on)
        store.work_out(self.loop, self.on)
        after = store.latest(self.loop, self.on)
        assert after.today.digest != before.today.digest
        assert [day.feed_g > 0 for day in after.fish.days[:7]] == [True, True, True, False, False, False, True]
        assert all(day.feed_g > 0 for day in before.fish.days)
        ((entry, _),) = spells(bridge.entries(self.loop))
        self.send(f"/away/{entry.uuid}", remove="1")
        store.work_out(self.loop, self.on)
        assert store.latest(self.loop, self.on).today.digest == before.today.digest

    def test_week_sheet_and_calendar_show_it(self) -> None:
        self.add(3, 5)
        store.work_out(self.loop, self.on)
        week = self.page("/paper/week")
        assert "☐ Hand over to Ann: Winter break from tomorrow" in week
        assert week.count("☐ Winter break: Ann feeds") == 3
        assert "☐ Back from Winter break" in week
        assert "Before Winter break" in week
        assert "Hand over to Ann" in self.page("/calendar")
        path = html.unescape(self.client.post("/calendar").context["address"])
        found = Calendar.from_ical(Client().get(path).content).walk("VEVENT")
        spans = {str(one["SUMMARY"]): (one.decoded("DTSTART"), one.decoded("DTEND")) for one in found}
        away = next(days for text, days in spans.items() if text.startswith("Winter break: Ann feeds"))
        assert away == (self.on + timedelta(3), self.on + timedelta(6))

    def test_the_sheet_takes_the_next_spell_when_no_days_are_asked(self) -> None:
        self.add(9, 12, feed_share="0.25")
        self.add(60, 70, name="Later")
        store.work_out(self.loop, self.on)
        assert "These days are being worked out." in self.page("/paper/away")
        self.made_up.days_away(self.loop, self.on)
        sheet = self.page("/paper/away")
        assert sheet.count("☐ ") == 4
        assert "Winter break" in sheet
        assert f'value="{self.day(9)}"' in self.page("/paper")
        assert f'value="{self.day(9)}"' in sheet
        # Other days and another share are asked for as before, also over days of the spell.
        other = f"/paper/away?first={self.day(9)}&last={self.day(10)}&share=0"
        self.page(other)
        self.made_up.days_away(self.loop, self.on)
        none = self.page(other)
        assert none.count("☐ no feed") == 2

    def test_shares_of_the_ration_stand_side_by_side_with_the_lowest_safe_one(self) -> None:
        assert self.client.get("/away/shares").status_code == 302, "nothing to compare yet"
        self.add(9, 20)
        path = f"/away/shares?first={self.day(9)}&last={self.day(20)}"
        assert "still being worked out" in self.page(path)
        assert path in self.page()
        store.work_out(self.loop, self.on)
        assert "0 of 4 parts of the ration are done" in self.page(path)
        aways.work_out(self.loop, self.on)
        assert "1 of 4 parts of the ration are done" in self.page(path)
        assert self.made_up.days_away(self.loop, self.on) == 3
        page = self.page(path)
        assert page.count('<th scope="row">') == 4
        assert "Lowest safe feed: " in page
        assert f"/paper/away?first={self.day(9)}&last={self.day(20)}&share=0.25" in page
        again = self.page("/away/shares")
        assert again.split("<main")[1] == page.split("<main")[1], "the next spell, if no days are asked"
        assert "must not be after" in self.page(f"/away/shares?first={self.day(501)}&last={self.day(502)}", 400)
        assert "must be after" in self.page(f"/away/shares?first={self.day(0)}&last={self.day(1)}", 400)
        assert "such as" in self.page("/away/shares?first=soon", 400)

    def test_no_page_runs_anything_it_renews_itself_until_the_worker_has_and_asks_again_when_the_log_grows(
        self,
    ) -> None:
        self.monkeypatch.setattr(worker, "running", lambda: True)
        self.add(9, 20)
        store.work_out(self.loop, self.on)

        def never(*_: object, **__: object) -> None:
            raise AssertionError

        path = "/away/shares"
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("rillbed.plan.away.forecast", never)
            assert self.client.get(path)["Refresh"] == "3"
            assert self.client.get("/paper/away")["Refresh"] == "3"
            assert "looks again by itself" in self.page(path)
        self.made_up.days_away(self.loop, self.on)
        for one in (path, "/paper/away"):
            assert "Refresh" not in self.client.get(one), one
        assert aways.due(self.loop, self.on) == "", "a page that is looked at wants nothing that is there"
        before = self.page(path)
        bridge.add(
            self.loop, bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="note", payload={"text": "x"})
        )
        assert self.client.get(path)["Refresh"] == "30"
        old = self.page(path)
        assert "does not know the last entries yet" in old
        assert old.count('<th scope="row">') == before.count('<th scope="row">') == 4
        assert aways.due(self.loop, self.on) == "", "the log is read first"
        store.work_out(self.loop, self.on)
        assert self.made_up.days_away(self.loop, self.on) == 4
        assert "does not know" not in self.page(path)

    def test_what_fails_is_told_and_not_run_again_until_the_log_changes(self) -> None:
        self.add(9, 20)
        store.work_out(self.loop, self.on)
        self.page("/paper/away")

        def broken(*_: object, **__: object) -> None:
            raise ZeroDivisionError

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(aways, "away", broken)
            assert self.made_up.days_away(self.loop, self.on) == 1
        assert "fault in the program" in self.page("/paper/away", 400)
        assert aways.due(self.loop, self.on) == ""

    def test_asking_about_ever_other_days_does_not_pile_up(self) -> None:
        for n in range(aways.KEPT + 5):
            self.page(f"/paper/away?first={self.day(1 + n)}&last={self.day(2 + n)}&share=0.5")
        assert StoredAway.objects.filter(loop=self.loop).count() == aways.KEPT

    def test_an_export_takes_it_along(self) -> None:
        self.add(9, 12)
        file = file_of(self.loop, "k")
        erase(self.loop)
        taken = take_in(unpacked(file, "x.zip"), self.owner, None, "x.zip", dry=False)
        assert not taken.faults
        assert [one.name for _, one in spells(bridge.entries(taken.loop))] == ["Winter break"]
