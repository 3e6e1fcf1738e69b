"""What the example never shows, in the made-up language: a start-up, refusals, other roles, what was saved."""

import json
import re
from datetime import UTC, datetime, timedelta
from html import unescape
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, TestCase, override_settings
from django.urls import reverse
from django.utils.translation import trans_real
from icalendar import Calendar
from tests import tongues

from rillbed import tongue
from rillbed.garden.log import LogEntry
from rillbed.web import bridge, clock
from rillbed.web.calendar import feeds
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import LogRow
from rillbed.web.offline import texts
from rillbed.web.people import members


class States(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, marks, monkeypatch, made_up) -> None:
        monkeypatch.setattr(tongue, "LOCALE", marks)
        self.marks, self.made_up = marks, made_up

    def setUp(self) -> None:
        spoken = override_settings(LOCALE_PATHS=[str(self.marks)])
        spoken.enable()
        self.addCleanup(spoken.disable)
        trans_real._translations.clear()
        self.addCleanup(trans_real._translations.clear)
        clock.pretend(self.made_up.started + timedelta(days=9))
        self.addCleanup(clock.pretend, None)
        self.system = self.made_up.system(
            name="Fig loop", startup_path="fishless", ammonia_source={"source": "ammonium_chloride"},
            feed="pellet_36", planned_feed_g_day=20,
            tanks=[{"name": "Tank Zero", "volume_l": 900}],
            beds=[{"name": "Raft Zero", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}],
        )  # fmt: skip
        self.loop = self.made_up.loop(self.system)
        self.keeper = self.made_up.keeper()
        self.client = self.reader(self.keeper)
        self.names = {"Fig loop", "keeper", "newcomer", "Tank Zero", "Raft Zero", "Gold"}
        self.names |= {kit.name for kit in self.system.kits}

    def reader(self, person) -> Client:
        client = Client(headers={"accept-language": tongues.TAG})
        client.force_login(person)
        return client

    def left(self, response) -> list[str]:
        return tongues.unspoken(response.content.decode(), self.names)

    def write(self, day: int, kind: str, **payload: object) -> LogEntry:
        at = datetime(2031, 4, day, 9, tzinfo=UTC)
        return LogEntry.make({"uuid": uuid4(), "at": at, "author": "keeper", "kind": kind, "payload": payload})

    def test_before_any_loop_and_before_any_forecast(self) -> None:
        newcomer = self.reader(self.made_up.keeper("newcomer"))
        assert self.left(newcomer.get("/begin")) == []
        for path in ("/", "/fish", "/startup", "/water", "/log", "/loops"):
            assert (path, self.left(self.client.get(path))) == (path, [])

    def test_a_calendar_entry_stays_the_same_in_another_language(self) -> None:
        path = reverse("calendar-feed", kwargs={"secret": feeds.make(self.made_up.keeper())})

        def entries(language: str) -> dict[str, str]:
            held = Client(headers={"accept-language": language}).get(path).content
            return {str(one["uid"]): str(one["summary"]) for one in Calendar.from_ical(held).walk("VEVENT")}

        english, other = entries("en-US"), entries(tongues.TAG)
        assert english.keys() == other.keys() != set()
        assert all(tongues.OPEN in text for text in other.values())
        assert not any(tongues.OPEN in text for text in english.values())

    def test_a_start_up_under_way(self) -> None:
        bridge.add(
            self.loop,
            self.write(2, "dosed", substance="ammonium_chloride", amount={"value": 9, "unit": "g"}),
            self.write(6, "reading", quantity="tan", unit="mg/L", basis="n", low=0.5, high=1),
            self.write(6, "reading", quantity="no2", unit="mg/L", basis="n", low=2),
            self.write(6, "reading", quantity="ph", unit="", low=6, high=6.5),
        )
        worker.catch_up()
        for path in ("/", "/startup", "/fish", "/water", "/loops"):
            assert (path, self.left(self.client.get(path))) == (path, [])

    def test_what_cannot_be_is_refused_in_the_language_too(self) -> None:
        at = datetime(2031, 4, 2, 9, tzinfo=UTC)
        fish = {"species": "nile_tilapia", "count": 9, "weight": {"value": 120, "unit": "g"}, "group": "Gold"}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="keeper", kind="fish_in", payload=fish))
        wrong = (
            ("/what-if", {"kind": "fish_in", "species": "nile_tilapia", "count": "0,5", "weight_g": "9"}),
            ("/what-if", {"kind": "away", "days": "99999999"}), ("/what-if", {"kind": "outage", "hours": "nan"}),
            ("/what-if", {"kind": "heater", "heater_set_c": "200"}), ("/what-if", {"kind": "feed", "on": "9999-12-31"}),
            ("/oxygen", {"temp": "90"}), ("/oxygen", {"oxygen": "99"}), ("/oxygen", {"ahead": "31,5"}),
            ("/oxygen", {"ahead": "99"}), ("/oxygen", {"temp": "1,500.0"}), ("/oxygen", {"temp": "1,500"}),
            ("/doses", {"goal": "supplement"}),
            ("/doses", {"goal": "raise_ph", "ph": "99"}), ("/doses", {"goal": "add", "grams": "-1"}),
            ("/size", {"start": "space", "floor_m2": "-2", "town": "austin"}),
            ("/size", {"start": "space", "town": "x"}),
            ("/paper/away", {"first": "x", "last": "2031-05-01"}), ("/lesson", {"temp_c": "warm"}),
            ("/trouble", {"gasping": "purple"}),
        )  # fmt: skip
        for path, typed in wrong:
            answer = self.client.get(path, typed | {"show": "1"})
            assert answer.status_code == 400, (path, typed)
            assert (path, typed, self.left(answer)) == (path, typed, [])
        for kind, typed in (
            ("fish_in", {"species": "nile_tilapia", "count": "0.5", "weight": "3"}),
            ("picked", {"planting": "nothing"}),
            ("temperature", {"value": "71", "unit": "degC", "where": "water"}),
            ("reading", {"quantity": "ph", "value": "x"}),
            ("dosed", {"substance": "urea", "amount": "5", "strength_pct": "120"}), ("note", {"text": ""}),
            ("fish_died", {"group": "Gold", "count": "99"}), ("outage", {"until": "x"}),
            ("spray", {"substance": ""}),
        ):  # fmt: skip
            answer = self.client.post(f"/log/add/{kind}", typed | {"uuid": str(uuid4())})
            assert answer.status_code == 400, kind
            assert (kind, self.left(answer)) == (kind, [])

    def test_what_a_role_may_not_do(self) -> None:
        for role in ("reader", "helper"):
            person = self.made_up.keeper(role)
            keep(self.loop, person, role)
            client = self.reader(person)
            for path in ("/", "/water", "/log", "/log/add/note"):
                assert (role, path, self.left(client.get(path))) == (role, path, [])
            refused = client.post("/setup", {"loop": self.loop.pk})
            assert refused.status_code == 403
            assert self.left(refused) == []

    def test_what_is_refused(self) -> None:
        tries = (
            ("/water", {"uuid": str(uuid4())}),
            ("/water", {"uuid": str(uuid4()), "step:pH card": ["6", "8"]}),
            ("/water", {"uuid": str(uuid4()), "step:pH card": "6", "at": "2031-03-01T08:00"}),
            ("/water", {"uuid": str(uuid4()), "step:pH card": "6", "at": "2032-03-01T08:00"}),
            ("/water", {"uuid": str(uuid4()), "typed:thermometer": "warm"}),
            ("/log/add/feeding", {"uuid": str(uuid4()), "amount": "lots", "amount_unit": "g"}),
            ("/log/add/planted", {"uuid": str(uuid4()), "crop": "kale", "count": "-2", "bed": "Raft Zero"}),
            ("/log/add/planted", {"uuid": str(uuid4()), "crop": "kale", "count": "2"}),
            ("/log/add/dosed", {"uuid": str(uuid4()), "substance": "gold", "amount": "1", "amount_unit": "g"}),
            ("/log/add/note", {"uuid": "none", "text": "x"}),
            ("/log/add/note", {"uuid": str(uuid4()), "text": ""}),
            (f"/loops/{self.loop.pk}/erase", {"name": "another"}),
        )
        for path, typed in tries:
            answer = self.client.post(path, typed)
            assert answer.status_code == 400, (path, typed)
            assert (path, typed, self.left(answer)) == (path, typed, [])

    def test_what_the_set_up_and_sizing_refuse_and_say(self) -> None:
        form = {"loop": self.loop.pk, "name": "Fig loop", "started_on": "soon", "water_temp_c-0": "12"}
        form |= {"tanks-0-name": "Tank Zero", "tanks-0-volume_l": "1,300", "tanks-0-kind": "fish"}
        form |= {"meals_per_day": "1.5", "heater_set_c": "warm", "source_water-ph": "99"}
        for path in ("/setup", "/setup/new"):
            answer = self.client.post(path, form)
            assert answer.status_code == 400
            assert (path, self.left(answer)) == (path, [])
            more = self.client.post(path, {**form, "more": "beds"})
            assert (path, more.status_code, self.left(more)) == (path, 200, [])
        size = "/size?show=1&place=greenhouse&species=nile_tilapia&bed_kind=media&ground=soil"
        for told, status in (
            ("&start=appetite&greens_week=14&fish_month=4&town=montpellier&heater_set_c=24&kwh_price=0.2", 200),
            ("&start=space&floor_m2=8&town=montpellier&heater_set_c=24&feed_only=1&source_na_mg_l=90", 200),
            ("&start=fish&fish_count=20&town=montpellier", 400),
            ("&start=space&floor_m2=wide&town=montpellier", 400),
            ("&start=space&floor_m2=8", 400),
            ("&start=space&town=montpellier", 400),
        ):
            answer = self.client.get(size + told)
            assert (told, answer.status_code, self.left(answer)) == (told, status, [])

    def test_what_was_saved_corrected_and_taken_back(self) -> None:
        one = str(uuid4())
        self.client.post("/log/add/topped_up", {"uuid": one, "volume": "20", "volume_unit": "L", "source": "rain"})
        assert self.left(self.client.get("/log")) == []
        self.client.post("/water", {"uuid": str(uuid4()), "step:pH card": ["6.5", "7"], "typed:thermometer": "21,5"})
        assert self.left(self.client.get("/log")) == []
        change = {"uuid": str(uuid4()), "volume": "25", "volume_unit": "L", "source": "source"}
        assert self.client.post(f"/log/{one}/correct", change).status_code == 302
        assert self.left(self.client.get("/log")) == []
        last = LogRow.objects.filter(supersedes=one).get()
        assert self.left(self.client.get(f"/log/{last.uuid}/correct")) == []
        self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": str(last.uuid)})
        assert self.left(self.client.get("/log")) == []
        assert self.left(self.client.get("/log?only=Water")) == []

    def test_the_script_of_waiting_entries_is_handed_every_text_and_plural(self) -> None:
        page = self.client.get("/pages").content.decode()
        words = json.loads(unescape(re.search(r'data-words="([^"]+)"', page)[1]))
        assert set(words) == {*texts.TEXTS, *texts.COUNTED}
        assert set(words["{n} entries were sent."]) == {"one", "other"}
        assert "{n}" in words["{n} entries were sent."]["one"]
        plain = Client()
        plain.force_login(self.made_up.keeper())
        assert "data-words" not in plain.get("/pages").content.decode()

    def test_who_let_whom_in_and_what_was_taken_along(self) -> None:
        self.names |= {"Ben", "helper one", "Our page", "loop.zip", "garden.zip"}
        ben = self.made_up.keeper("Ben")
        members.join(members.invite(self.loop, self.keeper, "reader"), ben)
        kept = next(one for one in members.roles(self.loop) if one.person == ben)
        members.set_role(self.loop, self.keeper, kept.pk, "helper")
        members.set_role(self.loop, self.keeper, kept.pk, "")
        members.note(self.loop, "keeper", "invitation_back", "owner")
        members.note(self.loop, "keeper", "imported", "loop.zip, 12 entries")
        members.note(self.loop, "keeper", "exported", "1200 bytes")
        members.share(self.loop, self.keeper, "Our page")
        page = self.client.get("/people")
        assert len(page.context["changes"]) == 8
        assert self.left(page) == []

    def test_what_the_doors_of_people_and_files_refuse(self) -> None:
        log = SimpleUploadedFile("garden.zip", b"no log")
        self.names |= {"garden.zip"}
        tries = (
            ("/people/invite", {"role": "king"}),
            ("/people/share", {"title": "x" * 90}),
            ("/people/leave", {}),
            ("/tokens", {"name": "", "scope": "read"}),
            ("/tokens", {"name": "gauge", "scope": "nothing"}),
            ("/exchange/import", {}),
            ("/exchange/import", {"file": log}),
        )
        self.names |= {"gauge"}
        for path, typed in tries:
            answer = self.client.post(path, {"loop": self.loop.pk, **typed})
            assert answer.status_code == 400, (path, typed)
            assert (path, typed, self.left(answer)) == (path, typed, [])

    def test_days_away(self) -> None:
        self.names |= {"Holiday Zero", "Holiday One", "Somebody Zero"}
        on = self.made_up.started + timedelta(days=9)

        def day(n: int) -> str:
            return (on + timedelta(days=n)).isoformat()

        path = "/away"
        bad = {"uuid": str(uuid4()), "name": "Holiday Zero", "first": day(9), "last": day(3), "feed_share": "0.5"}
        assert self.left(self.client.post(path, bad)) == []
        for n, (first, last, by) in enumerate(((1, 2, "Somebody Zero"), (9, 12, ""), (-5, -1, "Somebody Zero"))):
            share = "0.3" if by else "0"
            told = {"name": "Holiday Zero", "first": day(first), "last": day(last), "by": by, "feed_share": share}
            assert self.client.post(path, told | {"uuid": str(uuid4())}).status_code == 302, n
        assert self.left(self.client.get(path)) == []
        for lines in (
            f"Holiday One, {day(30)}, {day(31)}", f"Holiday One, {day(30)}, soon", "Holiday One", "",
            f"Holiday One, {day(2)}, {day(40)}", f"Holiday One, {day(9)}, {day(12)}",
        ):  # fmt: skip
            self.names |= {lines, *lines.split(", ")}
            sent = {"uuid": str(uuid4()), "lines": lines, "by": "Somebody Zero", "feed_share": "0.5"}
            assert (lines, self.left(self.client.post("/away/year", sent))) == (lines, [])
        none = {"uuid": str(uuid4()), "lines": "", "file": SimpleUploadedFile("x.ics", b"nothing")}
        assert self.left(self.client.post("/away/year", none)) == []
        self.names |= {"Holiday Two", "Holiday Three"}
        told = "".join(
            f"BEGIN:VEVENT\r\nSUMMARY:{name}\r\nDTSTART;VALUE=DATE:{on:%Y%m%d}\r\nRRULE:FREQ={rule}\r\nEND:VEVENT\r\n"
            for name, rule in (("Holiday Two", "WEEKLY;COUNT=2"), ("Holiday Three", "HOURLY"))
        )
        file = SimpleUploadedFile("x.ics", f"BEGIN:VCALENDAR\r\n{told}END:VCALENDAR\r\n".encode())
        sent = {"uuid": str(uuid4()), "by": "Somebody Zero", "feed_share": "0.5"}
        again = self.client.post("/away/year", sent | {"file": file})
        assert self.left(again) == []
        assert again.content.decode().count("Holiday Two") > 1
        one = re.search(r'href="(/away/[0-9a-f-]{36})"', self.client.get(path).content.decode())
        assert one is not None
        assert self.left(self.client.get(one.group(1))) == []
        fish = {"species": "nile_tilapia", "count": 9, "weight": {"value": 80, "unit": "g"}, "group": "Gold"}
        bridge.add(self.loop, self.write(3, "fish_in", **fish))
        worker.catch_up()
        days = f"?first={day(1)}&last={day(2)}"
        for page in (
            "/",
            path,
            "/away/shares",
            f"/away/shares{days}",
            "/paper/away",
            "/paper/week",
            "/calendar",
            "/log",
        ):
            assert (page, self.left(self.client.get(page))) == (page, [])
        self.made_up.days_away(self.loop, on)
        for entry in (None, self.write(3, "note", text="Holiday Zero")):
            if entry is not None:  # then what was worked out is of an older log
                bridge.add(self.loop, entry)
            for page in (f"/away/shares{days}", "/away/shares", "/paper/away"):
                assert (page, self.left(self.client.get(page))) == (page, [])
        for n in (1, 3, 9):
            clock.pretend(on + timedelta(days=n))
            worker.catch_up()
            for page in ("/", path, "/fish"):
                assert (n, page, self.left(self.client.get(page))) == (n, page, [])
