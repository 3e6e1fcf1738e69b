"""Export and import through the pages and the command line: all or nothing, tried first, harmless when sent again."""

import random
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from benchmarks.spoil import spoiled
from django.apps import apps
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, TestCase

from rillbed import cli
from rillbed.garden.exchange.archive import packed, unpacked
from rillbed.garden.log import LogEntry
from rillbed.web import access, bridge, clock, launch
from rillbed.web.exchange.take import file_of, take_in
from rillbed.web.frame.loops import keep, loops_of
from rillbed.web.log.models import LogRow, Loop
from rillbed.web.people.models import Change


def told(at, text: str = "x", **more: object) -> LogEntry:
    one = {"uuid": uuid4(), "at": at, "author": "=owner", "kind": "note", "payload": {"text": text}}
    return LogEntry.make(one | more)


class Given(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, tmp_path, capsys, monkeypatch) -> None:
        self.made_up, self.folder, self.capsys, self.monkeypatch = made_up, tmp_path, capsys, monkeypatch

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.owner = self.made_up.keeper("owner")
        self.loop = self.made_up.loop(self.made_up.system(name="Fig loop"), self.owner)
        self.at = clock.now() - timedelta(hours=2)
        first = told(self.at, "=cmd|x")
        bridge.add(self.loop, first, told(self.at, "right", supersedes=first.uuid), told(self.at))
        self.client.force_login(self.owner)

    def send(self, data: bytes, into: object = "", take: bool = True, name: str = "loop.zip", client=None):
        form = {"file": SimpleUploadedFile(name, data), "into": str(into)} | ({"take": "1"} if take else {})
        return (client or self.client).post("/exchange/import", form)

    def rows(self) -> list[object]:
        found = [one for one in apps.get_models() if one._meta.label != "sessions.Session"]
        return [list(one._default_manager.order_by("pk").values()) for one in found]

    def fresh(self) -> bytes:
        """A file of a loop that is not here: the same with other keys."""
        found = unpacked(packed(bridge.standing_system(self.loop), bridge.entries(self.loop), "0"))
        new = {one.uuid: uuid4() for one in found.entries}
        entries = [
            one.model_copy(update={"uuid": new[one.uuid], "supersedes": new.get(one.supersedes)})
            for one in found.entries
        ]
        return packed(found.system, entries, "0")


class Pages(Given):
    def test_what_was_taken_out_comes_in_as_it_was_with_names_and_corrections(self) -> None:
        answer = self.client.post("/exchange/export")
        assert answer["Content-Disposition"] == 'attachment; filename="rillbed-fig-loop.zip"'
        data = b"".join(answer) if answer.streaming else answer.content
        assert set(unpacked(data).entries) == set(bridge.entries(self.loop))
        assert Change.objects.get(what="exported").author == "owner"
        assert self.send(self.fresh()).status_code == 302
        second = loops_of(self.owner).last()
        assert second != self.loop
        assert second.role == "owner"
        here, there = (
            sorted(str((one.at, one.author, one.kind, one.payload)) for one in bridge.entries(loop))
            for loop in (self.loop, second)
        )
        assert here == there
        assert LogRow.objects.filter(loop=second, supersedes__isnull=False).count() == 1
        assert {row.author for row in LogRow.objects.filter(loop=second, kind="note")} == {"=owner"}

    def test_trying_says_what_would_come_of_it_and_stores_nothing(self) -> None:
        before = self.rows()
        page = self.send(self.fresh(), take=False)
        assert page.status_code == 200
        assert "4 entries are new, 0 are there already" in page.content.decode()
        assert self.rows() == before

    def test_the_same_file_again_changes_nothing(self) -> None:
        data = file_of(self.loop, "owner")
        before = LogRow.objects.count()
        assert self.send(data, self.loop.pk).status_code == 302
        assert self.send(data, self.loop.pk).status_code == 302
        assert LogRow.objects.count() == before
        assert not Change.objects.filter(what="imported").exists()

    def test_one_row_that_is_wrong_keeps_all_out_and_every_fault_is_told(self) -> None:
        system = bridge.standing_system(self.loop)
        late = told(clock.now() + timedelta(days=2))
        early = told(self.at - timedelta(days=30))
        data = packed(system, [told(self.at), late, early], "0")
        before = self.rows()
        page = self.send(data, self.loop.pk)
        assert page.status_code == 400
        text = page.content.decode()
        assert "Nothing was stored" in text
        assert "log/note.csv, row 3" in text
        assert "log/note.csv, row 4" in text
        assert "the loop began on 2031-04-01" in text
        assert self.rows() == before

    def test_what_the_log_contradicts_is_told_by_its_row(self) -> None:
        died = told(self.at, kind="fish_died", payload={"group": "nobody", "count": 2})
        page = self.send(packed(bridge.standing_system(self.loop), [told(self.at), died], "0"), self.loop.pk)
        assert page.status_code == 400
        assert "group" in page.content.decode()
        assert not LogRow.objects.filter(kind="fish_died").exists()

    def test_days_away_that_meet_are_told_by_their_row_and_come_in_once_put_right(self) -> None:
        def away(first: int, last: int) -> LogEntry:
            days = {"first": self.at.date() + timedelta(days=first), "last": self.at.date() + timedelta(days=last)}
            return told(self.at, kind="away", payload={"name": "Half term", "feed_share": 0.5, "by": "Ann"} | days)

        bridge.add(self.loop, away(10, 20))
        system, before = bridge.standing_system(self.loop), self.rows()
        for take in (False, True):
            page = self.send(packed(system, [told(self.at), away(15, 25)], "0"), self.loop.pk, take=take)
            assert page.status_code == 400
            text = page.content.decode()
            assert "log/away.csv, row 2" in text
            assert "must not lie in another spell: Half term" in text
        assert self.rows() == before
        assert self.send(packed(system, [told(self.at), away(21, 25)], "0"), self.loop.pk).status_code == 302
        assert LogRow.objects.filter(kind="away").count() == 2

    def test_the_log_of_another_loop_is_not_poured_into_this_one(self) -> None:
        page = self.send(self.fresh(), self.loop.pk)
        assert page.status_code == 400
        assert "this is another loop" in page.content.decode()

    def test_only_owners_take_out_or_in(self) -> None:
        data = packed(bridge.standing_system(self.loop), [told(self.at)], "0")
        for role in ("helper", "reader"):
            person = self.made_up.keeper(role)
            keep(self.loop, person, role)
            client = Client()
            client.force_login(person)
            assert client.post("/exchange/export").status_code == 403
            assert self.send(data, self.loop.pk, client=client).status_code == 403
            assert "Make the file" not in client.get("/exchange").content.decode()
        outsider = Client()
        outsider.force_login(self.made_up.keeper("outsider"))
        assert self.send(data, self.loop.pk, client=outsider).status_code == 404
        assert LogRow.objects.filter(kind="note").count() == 3

    def test_without_a_file_or_with_one_too_large_nothing_is_read(self) -> None:
        assert self.client.post("/exchange/import", {"into": ""}).status_code == 400
        self.monkeypatch.setattr(access, "MOST_UPLOAD", 1000)
        answer = self.send(b"x" * 5000)
        assert answer.status_code == 400
        assert "too large" in answer.content.decode()

    def test_a_system_alone_makes_a_loop_and_a_log_alone_does_not(self) -> None:
        self.send(packed(self.made_up.system(name="New loop"), [], "0"))
        assert bridge.standing_system(Loop.objects.get(name="New loop")).name == "New loop"
        answer = self.send(b"entry,at,kind,author,supersedes,field,value,unit,low,high\n", name="log.csv")
        assert answer.status_code == 400
        assert "a loop needs a set-up entry first" in answer.content.decode()


class Spoiled(Given):
    def test_no_spoiled_file_is_taken_in_by_half(self) -> None:
        dice = random.Random(20310401)
        seen = {"whole": 0, "refused": 0}
        for _ in range(150):
            data, before = self.fresh(), self.rows()
            count = LogRow.objects.count()
            taken = take_in(unpacked(spoiled(data, dice), "x"), self.owner, None, "x", dry=False)
            if taken.faults:
                assert self.rows() == before
                seen["refused"] += 1
            else:
                assert LogRow.objects.count() == count + taken.stored
                seen["whole"] += 1
        assert min(seen.values()) > 3, seen


class Commands(Given):
    def run_(self, *args: object) -> tuple[int, str, str]:
        self.monkeypatch.setattr(launch, "prepare", lambda: None)
        code = cli.main([str(one) for one in args])
        out = self.capsys.readouterr()
        return code, out.out, out.err

    def test_a_loop_goes_out_and_in(self) -> None:
        target = self.folder / "loop.zip"
        code, out, _ = self.run_("export", "--loop", "Fig loop", "--to", target)
        assert (code, out.strip()) == (0, str(target))
        assert self.run_("export", "--to", target)[0] == 2
        target.write_bytes(self.fresh())
        assert self.run_("import", target, "--dry-run")[1] == "4 entries would be taken in, 0 are there already.\n"
        assert Loop.objects.count() == 1
        assert self.run_("import", target)[1] == "4 entries taken in, 0 are there already.\n"
        assert Loop.objects.count() == 2

    def test_faults_are_lines(self) -> None:
        path = self.folder / "x.zip"
        path.write_bytes(b"PK nothing")
        code, _, err = self.run_("import", path)
        assert code == 2
        assert err.splitlines()[-1] == "rillbed: nothing was stored"
        assert re.match(r"rillbed: x\.zip: zip: ", err)
        assert self.run_("import", self.folder / "none.zip")[0] == 2

    def test_which_loop_and_whose_must_be_plain(self) -> None:
        User.objects.create_user("second")
        path = self.folder / "x.zip"
        path.write_bytes(self.fresh())
        code, _, err = self.run_("import", path)
        assert code == 2
        assert "owner, second" in err
        assert self.run_("import", path, "--person", "owner")[0] == 0
        assert "must be one of: Fig loop" in self.run_("export", "--loop", "x")[2]
