"""Backups of a PostgreSQL: the same archive, restored on either database."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from tests import postgres
from tests.ops.test_upgrade import READ

RELEASES = sorted((Path(__file__).parents[1] / "backups").glob("*.zip"))
RELEASE = RELEASES[0]
# Every row of every table, as the garden and the accounts know them, whatever the database.
ROWS = """
import json
from rillbed.web.launch import prepare
prepare()
from django.apps import apps
from django.core.serializers import serialize
from django.db.migrations.recorder import MigrationRecorder
found = {one._meta.db_table: json.loads(serialize("json", one._base_manager.order_by("pk")))
         for one in apps.get_models(include_auto_created=True)}
found["applied"] = sorted(map(str, MigrationRecorder.Migration.objects.all()))
print(json.dumps(found, sort_keys=True))
"""


class Place:
    """A data folder, with a PostgreSQL or without."""

    def __init__(self, data: Path, address: str = "") -> None:
        self.data, self.env = data, {key: value for key, value in os.environ.items() if key != "RILLBED_DATABASE_URL"}
        self.env |= {"RILLBED_DATA": str(data)} | ({"RILLBED_DATABASE_URL": address} if address else {})
        self.address = address

    def run(self, *args: str, code: int = 0) -> str:
        done = subprocess.run(
            [sys.executable, *args], env=self.env, capture_output=True, text=True, timeout=90, check=False
        )
        assert done.returncode == code, (done.stdout, done.stderr)
        return done.stdout if not code else done.stderr

    def rillbed(self, *args: str, code: int = 0) -> str:
        return self.run("-m", "rillbed", *args, code=code)

    def rows(self) -> dict[str, object]:
        return json.loads(self.run("-c", ROWS).splitlines()[-1])

    def sql(self, statement: str):
        import psycopg

        with psycopg.connect(self.address, autocommit=True) as link:
            found = link.execute(statement)
            return found.fetchall() if found.description else None


@pytest.fixture
def server(tmp_path):
    return Place(tmp_path / "server", postgres.new_database())


def released(kept: Path, tmp_path: Path) -> str:
    """A backup of the data of a release, as old as they are."""
    old = tmp_path / "released"
    old.mkdir()
    with zipfile.ZipFile(kept) as archive:
        archive.extract("rillbed.sqlite3", old)
    return Place(old).rillbed("backup").strip()


@pytest.mark.parametrize("kept", RELEASES, ids=[path.stem for path in RELEASES])
def test_the_data_of_a_release_come_to_a_server_whole(server, tmp_path, kept):
    old = released(kept, tmp_path)
    assert "Restored" in server.rillbed("restore", old)
    with zipfile.ZipFile(kept) as archive:
        manifest = json.loads(archive.read("manifest.json"))
    read = json.loads(server.run("-c", READ).splitlines()[-1])
    assert (read["loops"], read["accounts"], read["sees"]) == (manifest["loops"], manifest["accounts"], 1)
    file = Place(tmp_path / "file")
    file.rillbed("restore", old)
    here, there = server.rows(), file.rows()
    for rows in (here, there):  # numbered by each database for itself
        del rows["django_content_type"], rows["auth_permission"], rows["applied"]
    assert here == there


def test_there_and_back_again(server, tmp_path):
    server.rillbed("restore", released(RELEASE, tmp_path))
    before = server.rows()
    copy = server.rillbed("backup").strip()
    assert "Sound" in server.rillbed("verify", copy)
    # Onto one file, and from there onto another server.
    file = Place(tmp_path / "file")
    file.rillbed("restore", copy)
    assert file.rows() == before
    second = Place(tmp_path / "second", postgres.new_database())
    second.rillbed("restore", file.rillbed("backup").strip())
    assert second.rows() == before
    # New rows get new numbers, and the log is locked again.
    second.sql("INSERT INTO log_loop (name, invented, erasing) VALUES ('later', false, false)")
    with pytest.raises(Exception, match="write a new entry"):
        second.sql("DELETE FROM log_logrow")


def test_what_was_there_is_kept_aside_and_a_copy_that_is_refused_changes_nothing(server, tmp_path):
    server.rillbed("restore", released(RELEASE, tmp_path))
    copy = server.rillbed("backup").strip()
    server.sql("INSERT INTO log_loop (name, invented, erasing) VALUES ('later', false, false)")
    before = server.rows()
    bad = tmp_path / "bad.zip"
    bad.write_bytes(Path(copy).read_bytes()[:-3000])
    assert "damaged" in server.rillbed("restore", str(bad), code=2)
    assert server.rows() == before
    said = server.rillbed("restore", copy)
    assert [name for (name,) in server.sql("SELECT name FROM log_loop WHERE name = 'later'")] == []
    aside = Path(said.rsplit(" ", 1)[1].strip())
    assert aside.parent == server.data
    server.rillbed("restore", str(aside))
    assert server.rows() == before
    # What cannot be taken in by half is not taken in at all.
    server.sql("ALTER TABLE log_loop ADD CONSTRAINT short CHECK (length(name) < 6) NOT VALID")
    assert "cannot take these data" in server.rillbed("restore", copy, code=2)
    server.sql("ALTER TABLE log_loop DROP CONSTRAINT short")
    assert server.rows() == before
    assert not [path for path in server.data.iterdir() if path.name.startswith((".tables", ".restored", ".backup"))]


def test_a_server_without_the_lock_of_its_log_is_not_copied(server):
    assert "no data yet" in server.rillbed("backup", code=2)
    server.run("-c", "from rillbed.web.launch import prepare; prepare()")
    server.sql("ALTER TABLE log_logrow DISABLE TRIGGER log_append_only")
    assert "no trigger log_append_only" in server.rillbed("backup", code=2)
    assert not list((server.data / "backups").glob("*.zip"))


def test_an_older_server_is_copied_as_it_was_before_its_tables_change(server):
    server.run("-c", "from rillbed.web.launch import prepare; prepare()")
    server.sql("INSERT INTO log_loop (name, invented, erasing) VALUES ('kept', false, false)")
    back = "from django.core.management import call_command; call_command('migrate', 'forecasts', '0005', verbosity=0)"
    server.run("-c", f"from rillbed.web.launch import prepare; prepare(); {back}")
    for _ in range(2):  # the second start changes nothing and copies nothing
        server.run("-c", "from rillbed.web.launch import prepare; prepare()")
        (copy,) = (server.data / "backups").glob("*.zip")
    with zipfile.ZipFile(copy) as archive:
        told = json.loads(archive.read("manifest.json"))
    assert "forecasts.0005_plans" in told["migrations"]
    assert "forecasts.0006_jobs" not in told["migrations"]
    assert told["rows"]["log_loop"] == 1
    assert "forecasts_job" not in told["rows"]
    server.rillbed("restore", str(copy))
    assert server.sql("SELECT name FROM log_loop") == [("kept",)]
    server.sql("INSERT INTO django_migrations (app, name, applied) VALUES ('log', '9999_later', now())")
    assert "newer version" in server.run("-m", "rillbed", "serve", code=2)
