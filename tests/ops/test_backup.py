"""Backups: whole, checked, and never trusted for what they claim."""

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rillbed.web.backup import archive, keep
from rillbed.web.backup.archive import BackupError

RELEASE = Path(__file__).parents[1] / "backups/0.1.0.zip"
NOW = datetime(2031, 5, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def data(tmp_path):
    """A data folder with the data of the first release."""
    folder = tmp_path / "data"
    folder.mkdir()
    with zipfile.ZipFile(RELEASE) as kept:
        kept.extract("rillbed.sqlite3", folder)
    return folder


def known(data):
    return frozenset(archive.contents(data / archive.DATABASE)[0])


def rewritten(source, target, **changes):
    """The archive with other members; None leaves one out."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in (archive.MANIFEST, archive.DATABASE):
            told = changes.get(name.split(".")[0], old.read(name))
            if told is not None:
                new.writestr(name, told)
    return target


def manifest(made, **changes):
    with zipfile.ZipFile(made) as old:
        return json.dumps(json.loads(old.read(archive.MANIFEST)) | changes)


def write(data, statement):
    with closing(sqlite3.connect(data / archive.DATABASE)) as database, database:
        database.execute(statement)


def rillbed(data, *args):
    return subprocess.run(
        [sys.executable, "-m", "rillbed", *args],
        env=os.environ | {"RILLBED_DATA": str(data)},
        capture_output=True,
        text=True,
        timeout=60,
    )


def test_a_copy_holds_every_row_also_of_the_journal(data):
    with closing(sqlite3.connect(data / archive.DATABASE)) as writer:
        writer.execute("PRAGMA journal_mode=WAL")
        writer.execute("INSERT INTO log_loop (name, invented, erasing) VALUES ('second', 0, 0)")
        writer.commit()
        writer.execute("INSERT INTO log_loop (name, invented, erasing) VALUES ('half written', 0, 0)")
        made = keep.backup(data, NOW)
        writer.rollback()
    told, aside = keep.restore(data, made, NOW, known(data))
    assert told.rows["log_loop"] == 2
    assert archive.contents(data / archive.DATABASE)[1] == told.rows
    assert aside is not None
    assert archive.contents(aside / archive.DATABASE)[1] == told.rows


def test_going_back_brings_what_was_and_keeps_what_is(data):
    made = keep.backup(data, NOW)
    before = archive.contents(data / archive.DATABASE)
    write(data, "INSERT INTO log_loop (name, invented, erasing) VALUES ('later', 0, 0)")
    _, aside = keep.restore(data, made, NOW, known(data))
    assert archive.contents(data / archive.DATABASE) == before
    assert archive.contents(aside / archive.DATABASE)[1]["log_loop"] == before[1]["log_loop"] + 1


def test_only_the_newest_are_kept(data):
    made = [keep.backup(data, NOW + timedelta(days=day), keep=3) for day in range(5)]
    assert keep.kept(data) == made[:1:-1]
    # With a clock that was set back, the copy just made stays.
    early = keep.backup(data, NOW - timedelta(days=9), keep=1)
    assert keep.kept(data) == [early]


def test_a_damaged_database_is_not_copied_over_good_copies(data):
    made = keep.backup(data, NOW)
    raw = bytearray((data / archive.DATABASE).read_bytes())
    raw[4096:12288] = b"\xff" * 8192
    (data / archive.DATABASE).write_bytes(raw)
    with pytest.raises(BackupError, match=r"malformed|damaged"):
        keep.backup(data, NOW, keep=1)
    assert keep.kept(data) == [made]


def test_what_cannot_be_trusted_changes_nothing(data, tmp_path):
    made = keep.backup(data, NOW)
    with zipfile.ZipFile(made) as old:
        good = old.read(archive.DATABASE)
    flipped = good[:-1] + bytes([good[-1] ^ 1])
    (tmp_path / "text.zip").write_text("no archive")
    (tmp_path / "half.zip").write_bytes(made.read_bytes()[:-2000])
    bad = {
        "check sum": rewritten(made, tmp_path / "flipped.zip", rillbed=flipped),
        "unpacks to more": rewritten(made, tmp_path / "bomb.zip", manifest=manifest(made, bytes=4096)),
        "allowed are": rewritten(made, tmp_path / "vast.zip", manifest=manifest(made, bytes=2**60)),
        "other rows": rewritten(made, tmp_path / "rows.zip", manifest=manifest(made, rows={"log_loop": 7})),
        "reads up to 1": rewritten(made, tmp_path / "newer.zip", manifest=manifest(made, format=2)),
        "whole number": rewritten(made, tmp_path / "odd.zip", manifest=manifest(made, format="1")),
        "not understood": rewritten(made, tmp_path / "list.zip", manifest="[1]"),
        "no backup": tmp_path / "text.zip",
        "or damaged": tmp_path / "half.zip",
        "manifest.json": rewritten(made, tmp_path / "bare.zip", manifest=None),
    }
    before, there = archive.contents(data / archive.DATABASE), sorted(data.iterdir())
    for said, path in bad.items():
        with pytest.raises(BackupError, match=said):
            keep.restore(data, path, NOW, known(data))
        assert sorted(data.iterdir()) == there, said
    assert archive.contents(data / archive.DATABASE) == before


def test_data_of_a_newer_program_are_refused(data):
    made = keep.backup(data, NOW)
    with pytest.raises(BackupError, match=r"newer version.*log\.0004_keeper"):
        keep.restore(data, made, NOW, known(data) - {"log.0004_keeper"})


def test_a_log_without_its_lock_is_refused(data):
    write(data, "DROP TRIGGER log_never_changed")
    with pytest.raises(BackupError, match="log_never_changed"):
        keep.backup(data, NOW)


def test_the_verbs(data, tmp_path):
    done = rillbed(data, "backup")
    assert done.returncode == 0, done.stderr
    copy = Path(done.stdout.strip())
    new = tmp_path / "new"
    done = rillbed(new, "restore", str(copy))
    assert done.returncode == 0, done.stderr
    assert "log entries" in done.stdout
    assert (
        archive.contents(new / archive.DATABASE)[1]["log_logrow"]
        == archive.contents(data / archive.DATABASE)[1]["log_logrow"]
    )
    refused = rillbed(new, "restore", str(RELEASE.parent / "none.zip"))
    assert refused.returncode == 2
    assert len(refused.stderr.splitlines()) == 1
    assert rillbed(tmp_path / "empty", "backup").returncode == 2


def test_data_are_copied_before_their_tables_change(data):
    write(data, "DELETE FROM django_migrations WHERE app = 'forecasts' AND name = '0003_fits'")
    write(data, "DROP TABLE IF EXISTS forecasts_storedfit")
    before = archive.contents(data / archive.DATABASE)
    ready = [sys.executable, "-c", "from rillbed.web.launch import prepare; prepare()"]
    for _ in range(2):  # the second start changes nothing and copies nothing
        subprocess.run(ready, env=os.environ | {"RILLBED_DATA": str(data)}, check=True, capture_output=True)
        (copy,) = keep.kept(data)
    told = archive.unpack(copy, data / "copy.sqlite3")
    assert (sorted(told.migrations), told.rows) == before
