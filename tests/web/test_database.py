"""The address of a database: understood, or refused in words that give nothing away."""

import os
import threading
from types import SimpleNamespace
from uuid import uuid4

import django.db
import pytest
from django.db import DatabaseError, connection, transaction
from django.test import TestCase, TransactionTestCase
from tests import postgres

from rillbed.web import bridge, clock, database
from rillbed.web.log.erase import erase
from rillbed.web.log.models import LogRow, Loop


def told(address: str) -> dict[str, object]:
    return {key: value for key, value in database.parsed(address).items() if key in ("NAME", "USER", "HOST", "PORT")}


@pytest.mark.parametrize("scheme", ["postgres", "postgresql"])
def test_an_address_is_taken_apart(scheme):
    found = database.parsed(f"{scheme}://keeper:p%40ss%2Fword@db.example:5433/rill%20bed?sslmode=require")
    assert (found["PASSWORD"], found["OPTIONS"]["sslmode"]) == ("p@ss/word", "require")
    assert told(f"{scheme}://k@db.example:5433/rill") == {
        "NAME": "rill", "USER": "k", "HOST": "db.example", "PORT": "5433"
    }  # fmt: skip
    assert told(f"{scheme}:///rill?host=/run/postgresql")["HOST"] == "/run/postgresql"
    assert told(f"{scheme}://[::1]/rill")["HOST"] == "::1"


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("mysql://u:Geheim-77@h/n", "scheme mysql"),
        ("Geheim-77", "scheme none"),
        ("postgres://u:Geheim-77@h", "no name"),
        ("postgres://u:Geheim-77@h/", "no name"),
        ("postgres://u:x@Geheim-77@h:port/n", "percent-encoded"),
        ("postgres://u:Geheim/77@h/n", "percent-encoded"),
        ("postgres://u:Geheim#77@h/n", "percent-encoded"),
        ("postgres://u:[Geheim-77@h/n", "percent-encoded"),
        ("postgres://u:Geheim-77@h:99999/n", "percent-encoded"),
        ("postgres://u:Geheim-77@h/n?passfile=x", "option passfile"),
        ("postgres://u:Geheim-77@h/n?sslmode", "percent-encoded"),
    ],
)
def test_a_bad_address_is_refused_without_its_password(monkeypatch, tmp_path, address, said):
    monkeypatch.setenv("RILLBED_DATABASE_URL", address)
    with pytest.raises(ValueError, match=r"^RILLBED_DATABASE_URL: ") as wrong:
        database.database(tmp_path)
    assert said in str(wrong.value)
    assert "Geheim" not in str(wrong.value)
    assert "77" not in str(wrong.value)


def test_without_an_address_it_is_a_file(monkeypatch, tmp_path):
    monkeypatch.delenv("RILLBED_DATABASE_URL", raising=False)
    assert database.database(tmp_path)["NAME"] == tmp_path / "rillbed.sqlite3"


def test_a_missing_package_is_named(monkeypatch):
    monkeypatch.setattr(database, "find_spec", lambda _: None)
    with pytest.raises(ValueError, match=r'install "rillbed\[postgres\]"'):
        database.parsed("postgres://h/n")


def test_one_that_does_not_answer_is_named_without_its_password(monkeypatch):
    def refused() -> None:
        raise django.db.OperationalError("no route\nfor u:Geheim-77 at all")

    there = SimpleNamespace(ensure_connection=refused, vendor="postgresql", settings_dict={"PASSWORD": "Geheim-77"})
    monkeypatch.setattr(django.db, "connection", there)
    with pytest.raises(ValueError, match=r"^RILLBED_DATABASE_URL: .*no route for u:\*\*\* at all$"):
        database.reach()


class Guarded(TestCase):
    """What the database itself keeps, whichever it is."""

    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.loop = self.made_up.loop(self.made_up.system())

    def refuses(self, statement: str) -> None:
        with (
            pytest.raises(DatabaseError, match="write a new entry"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)

    def test_it_is_the_one_that_was_asked_for(self) -> None:
        assert connection.vendor == ("postgresql" if postgres.ASKED else "sqlite")
        assert ("RILLBED_DATABASE_URL" in os.environ) is postgres.ASKED

    def test_rows_of_the_log_stay_as_they_are(self) -> None:
        self.refuses("UPDATE log_logrow SET author = 'x'")
        self.refuses("DELETE FROM log_logrow")
        if connection.vendor == "postgresql":
            self.refuses("SET CONSTRAINTS ALL IMMEDIATE; TRUNCATE log_logrow")
        assert LogRow.objects.filter(loop=self.loop).count() == 1

    def test_a_loop_goes_with_all_its_rows_and_no_others(self) -> None:
        other = self.made_up.loop(self.made_up.system(name="Other loop"))
        erase(self.loop)
        assert set(LogRow.objects.values_list("loop", flat=True)) == {other.pk}
        self.refuses("DELETE FROM log_logrow")


@pytest.mark.skipif(not postgres.ASKED, reason="one file has one writer at a time; RILLBED_TEST_DATABASE=postgresql")
class TwoAtOnce(TransactionTestCase):
    """On a server, numbers are handed out before rows can be seen."""

    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def test_a_row_is_never_seen_after_one_with_a_higher_number(self) -> None:
        loop = self.made_up.loop(self.made_up.system())
        self.addCleanup(lambda: Loop.objects.update(erasing=True))

        def note(text: str):
            return bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="note", payload={"text": text})

        second = threading.Thread(target=lambda: (bridge.add(loop, note("second")), connection.close()))
        with transaction.atomic():
            bridge.add(loop, note("first"))
            second.start()
            second.join(0.5)
            assert second.is_alive(), "the second writer did not wait for the first"
        second.join(10)
        rows = LogRow.objects.filter(loop=loop, kind="note").order_by("pk")
        assert [row.payload["text"] for row in rows] == ["first", "second"]
