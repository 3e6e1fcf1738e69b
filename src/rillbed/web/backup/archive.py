"""The archive of a backup: the database and a manifest with its check sum, read with distrust.

Nothing here needs Django, so a backup can be read when the program's own data cannot.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import tempfile
import zipfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO

FORMAT = 1
DATABASE = "rillbed.sqlite3"
MANIFEST = "manifest.json"
MOST_BYTES = 4 * 2**30  # far above any log; what claims to unpack to more is no backup
CHUNK = 2**20
GUARDED_SINCE = "log.0003_append_only"
GUARDS = frozenset({"log_never_changed", "log_never_removed"})  # without them the log could be rewritten


class BackupError(ValueError):
    """A backup that cannot be made, or must not be trusted; the message says why on one line."""


@dataclass(frozen=True)
class Manifest:
    """What a backup says of itself.

    Attributes
    ----------
    format : int
        Of the archive; a newer one is refused.
    version : str
        Of the program that made it.
    made_at : str
        ISO 8601 time, UTC.
    sha256 : str
        Of the database, 64 hex digits.
    bytes : int
        Size of the database.
    migrations : list of str
        Applied ones, as "app.name"; one that this program does not know means that a newer program made it.
    rows : dict of str to int
        Number of rows by table.
    """

    format: int
    version: str
    made_at: str
    sha256: str
    bytes: int
    migrations: list[str]
    rows: dict[str, int]


def write(fill: Callable[[Path], None], target: Path, *, version: str, made_at: str) -> Manifest:
    """Pack the database that `fill` makes into a new archive at `target`, whole or not at all.

    Parameters
    ----------
    fill : callable
        Makes the database at the path that it is given.
    target : Path
        The new archive.
    version, made_at : str
        Said in the manifest.

    Raises
    ------
    BackupError
        If the copy cannot be made or is not sound, or `target` is there already.
    OSError
        If `target` cannot be written.
    """
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
        copy = Path(folder) / DATABASE
        fill(copy)
        migrations, rows = contents(copy)
        with copy.open("rb") as file:
            total = hashlib.file_digest(file, "sha256").hexdigest()
        told = Manifest(FORMAT, version, made_at, total, copy.stat().st_size, migrations, rows)
        packed = Path(folder) / "archive.zip"
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr(MANIFEST, json.dumps(asdict(told), indent=1))
            archive.write(copy, DATABASE)
        if target.exists():
            raise BackupError(f"{target}: is there already")
        packed.rename(target)
    return told


def copied(database: Path, target: Path) -> None:
    """Copy a SQLite database in use.

    Raises
    ------
    BackupError
        If it cannot be copied.
    """
    try:
        with closing(sqlite3.connect(f"{database.resolve().as_uri()}?mode=ro", uri=True)) as source:
            # A copy as of one moment; whoever writes meanwhile is not stopped.
            source.execute("VACUUM INTO ?", (str(target),))
    except sqlite3.DatabaseError as error:
        raise BackupError(f"{database}: cannot be copied; {error}") from None


def contents(database: Path) -> tuple[list[str], dict[str, int]]:
    """Return migrations and number of rows by table of a sound database.

    Raises
    ------
    BackupError
        If it is damaged, no database of this program, or its log is not locked.
    """
    try:
        with closing(sqlite3.connect(f"{database.resolve().as_uri()}?mode=ro", uri=True)) as source:
            said = source.execute("PRAGMA integrity_check").fetchall()
            if said != [("ok",)]:
                raise BackupError(f"{database.name}: damaged; {said[0][0]}")
            migrations = [f"{app}.{name}" for app, name in source.execute("SELECT app, name FROM django_migrations")]
            tables = [name for (name,) in source.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
            guards = {name for (name,) in source.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
            rows = {name: _count(source, name) for name in sorted(tables) if not name.startswith("sqlite_")}
    except sqlite3.DatabaseError as error:
        raise BackupError(f"{database.name}: no sound database of this program; {error}") from None
    if GUARDED_SINCE in migrations and (gone := GUARDS - guards):
        raise BackupError(f"{database.name}: the lock of the log is missing; no trigger {min(gone)}")
    return sorted(migrations), rows


def _count(source: sqlite3.Connection, table: str) -> int:
    quoted = table.replace('"', '""')
    return int(source.execute(f'SELECT count(*) FROM "{quoted}"').fetchone()[0])


def unpack(archive: Path, target: Path) -> Manifest:
    """Check an archive and write its database to the new file `target`; names in the archive decide no path.

    Raises
    ------
    BackupError
        If it is no backup, of a newer format, or damaged; `target` is not there then.
    """
    try:
        with zipfile.ZipFile(archive) as packed:
            told = _manifest(packed)
            with packed.open(DATABASE) as source, target.open("xb") as file:
                found = _copied(source, file, told.bytes)
        if found != told.sha256:
            raise BackupError(f"{archive.name}: damaged; the check sum of {DATABASE} is not that of the manifest")
        if contents(target) != (sorted(told.migrations), told.rows):
            raise BackupError(f"{archive.name}: the database holds other rows than the manifest says")
    except (zipfile.BadZipFile, KeyError, EOFError, NotImplementedError, RuntimeError) as error:
        target.unlink(missing_ok=True)
        raise BackupError(f"{archive.name}: no backup, or damaged; {error}") from None
    except BackupError:
        target.unlink(missing_ok=True)
        raise
    except Exception as error:
        target.unlink(missing_ok=True)
        if type(error).__name__ == "error":  # zlib has no public base for a broken stream
            raise BackupError(f"{archive.name}: damaged; {error}") from None
        raise
    return told


def _manifest(packed: zipfile.ZipFile) -> Manifest:
    if packed.getinfo(MANIFEST).file_size > CHUNK:
        raise BackupError(f"{MANIFEST}: larger than {CHUNK} bytes; no backup of this program")
    try:
        told = json.loads(packed.read(MANIFEST))
        number = told["format"]
        if not isinstance(number, int) or number < 1:
            raise BackupError(f"format: {number!r}; needs a whole number from 1")
        if number > FORMAT:
            raise BackupError(f"format: {number}; this version reads up to {FORMAT}, a newer one made this backup")
        made = Manifest(**told)
    except (ValueError, TypeError, KeyError) as error:
        if isinstance(error, BackupError):
            raise
        raise BackupError(f"{MANIFEST}: not understood; {error}") from None
    if not isinstance(made.bytes, int) or not 0 < made.bytes <= MOST_BYTES:
        raise BackupError(f"bytes: {made.bytes!r}; allowed are 1 to {MOST_BYTES}")
    if not isinstance(made.migrations, list) or not isinstance(made.rows, dict):
        raise BackupError(f"{MANIFEST}: migrations must be a list and rows a table")
    return made


def _copied(source: IO[bytes], target: IO[bytes], size: int) -> str:
    """Copy no more than `size` bytes, whatever the archive claims, and return their check sum."""
    total, left = hashlib.sha256(), size
    while chunk := source.read(min(CHUNK, left + 1)):
        left -= len(chunk)
        if left < 0:
            raise BackupError(f"{DATABASE}: unpacks to more than the {size} bytes of the manifest")
        total.update(chunk)
        target.write(chunk)
    return total.hexdigest()
