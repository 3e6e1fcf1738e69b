from datetime import UTC, datetime, timedelta
from unittest import skipUnless
from uuid import UUID

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.db.models import QuerySet
from django.test import TestCase

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.web import access, bridge
from rillbed.web.forecasts.models import StoredForecast
from rillbed.web.log.erase import erase
from rillbed.web.log.models import AppendOnlyError, LogRow, Loop

AT = datetime(2026, 3, 1, 8, tzinfo=UTC)


def note(text: str, number: int = 1) -> LogEntry:
    return LogEntry.make({"uuid": UUID(int=number), "at": AT, "kind": "note", "payload": {"text": text}})


class Core(TestCase):
    def setUp(self) -> None:
        self.loop = Loop.objects.create(name="invented loop")

    def test_entry_survives_the_row(self) -> None:
        assert bridge.store(self.loop, note("pump hums"))
        assert [*bridge.entries(self.loop)] == [note("pump hums")]

    def test_sending_twice_is_harmless(self) -> None:
        bridge.store(self.loop, note("once"))
        later = note("once").model_copy(update={"recorded_at": AT + timedelta(hours=1)})
        assert not bridge.store(self.loop, later)
        assert [*bridge.entries(self.loop)] == [note("once")]

    def test_uuid_of_another_entry_or_loop_is_refused(self) -> None:
        bridge.store(self.loop, note("first"))
        for loop, text in ((self.loop, "second"), (Loop.objects.create(name="other"), "first")):
            with pytest.raises(GardenError, match="uuid"):
                bridge.store(loop, note(text))
        assert LogRow.objects.count() == 1

    def test_rows_are_never_changed_or_removed(self) -> None:
        bridge.store(self.loop, note("kept"))
        row = LogRow.objects.get()
        for change in (row.save, row.delete, LogRow.objects.all().delete, lambda: LogRow.objects.update(author="x")):
            with pytest.raises(AppendOnlyError):
                change()
        assert [*bridge.entries(self.loop)] == [note("kept")]

    def test_the_database_refuses_what_goes_past_the_program(self) -> None:
        bridge.store(self.loop, note("kept"))
        for statement in (
            "UPDATE log_logrow SET author = 'x'",
            "UPDATE log_logrow SET loop_id = loop_id",
            "DELETE FROM log_logrow",
        ):
            with pytest.raises(IntegrityError, match="cannot be changed or removed"), transaction.atomic():
                connection.cursor().execute(statement)
        with pytest.raises(IntegrityError, match="cannot be changed or removed"), transaction.atomic():
            QuerySet(LogRow).update(kind="feeding")
        assert [*bridge.entries(self.loop)] == [note("kept")]

    def test_a_whole_loop_is_erased_and_no_other(self) -> None:
        other = Loop.objects.create(name="other")
        bridge.store(self.loop, note("goes"))
        bridge.store(other, note("stays", 2))
        StoredForecast.objects.create(loop=self.loop, key="k", on=AT.date(), upto=1, made_at=AT)
        erase(self.loop)
        assert list(Loop.objects.all()) == [other]
        assert [*bridge.entries(other)] == [note("stays", 2)]
        assert not StoredForecast.objects.exists()

    def test_health_is_open_and_carries_the_policy(self) -> None:
        answer = self.client.get("/health")
        assert answer.status_code == 200
        assert answer["Content-Security-Policy"] == access.POLICY

    def test_secret_key_is_private(self) -> None:
        assert (settings.DATA / "secret-key").stat().st_mode & 0o777 == 0o600

    @skipUnless(connection.vendor == "sqlite", "a server writes ahead by itself")
    def test_database_writes_ahead(self) -> None:
        with connection.cursor() as cursor:
            assert cursor.execute("PRAGMA journal_mode").fetchone()[0] == "wal"

    def test_migrations_are_complete(self) -> None:
        call_command("makemigrations", check=True, dry_run=True, verbosity=0)
