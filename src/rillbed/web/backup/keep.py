"""Backups of this installation: where they lie, how many are kept, and going back to one."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from rillbed import __version__
from rillbed.web.backup import archive
from rillbed.web.backup.archive import BackupError, Manifest

KEPT = 14


def folder(data: Path) -> Path:
    """Return the folder of the backups of a data folder, made if missing."""
    found = data / "backups"
    found.mkdir(mode=0o700, exist_ok=True)
    return found


def backup(data: Path, now: datetime, *, keep: int = KEPT) -> Path:
    """Copy the data as they are now; keep the newest `keep` copies.

    Raises
    ------
    BackupError
        If there are no data, or they are damaged; older copies stay then.
    """
    database = data / archive.DATABASE
    if not database.exists():
        raise BackupError(f"{database}: there are no data yet")
    return _pack(partial(archive.copied, database), data, now, keep)


def backup_server(data: Path, now: datetime, *, keep: int = KEPT) -> Path:
    """Copy the data of the PostgreSQL of this installation as they are now; keep the newest `keep` copies.

    Raises
    ------
    BackupError
        If there are no data, or they are damaged; older copies stay then.
    """
    from rillbed.web.backup import server

    return _pack(server.dump, data, now, keep)


def _pack(fill: Callable[[Path], None], data: Path, now: datetime, keep: int) -> Path:
    if keep < 1:
        raise BackupError(f"keep: {keep}; needs a whole number from 1")
    at = now.astimezone(UTC)
    target = folder(data) / f"rillbed-{at:%Y%m%dT%H%M%S}-{secrets.token_hex(2)}.zip"
    archive.write(fill, target, version=__version__, made_at=at.isoformat(timespec="seconds"))
    others = [one for one in kept(data) if one != target]  # a clock set back must not cost the new one
    for old in others[keep - 1 :]:
        old.unlink(missing_ok=True)
    return target


def kept(data: Path) -> list[Path]:
    """Return the backups of a data folder, the newest first."""
    return sorted(folder(data).glob("rillbed-*.zip"), reverse=True)


def restore(data: Path, chosen: Path, now: datetime, known: frozenset[str]) -> tuple[Manifest, Path | None]:
    """Put a checked backup in the place of the data; what is there now is kept aside.

    Parameters
    ----------
    data : Path
        Data folder; no server may be running on it.
    chosen : Path
        The backup.
    now : datetime
        Names the folder of what was there.
    known : frozenset of str
        Migrations of this program, as "app.name".

    Returns
    -------
    tuple of Manifest and Path or None
        What came back, and where lies what was there.

    Raises
    ------
    BackupError
        If the backup is damaged or of a newer program; nothing is changed then.
    """
    fresh = data / f".restored-{secrets.token_hex(4)}.sqlite3"
    try:
        told = unpacked(chosen, fresh, known)
        aside = _put_aside(data, now)
        fresh.chmod(0o600)
        fresh.replace(data / archive.DATABASE)
    finally:
        fresh.unlink(missing_ok=True)
    return told, aside


def restore_server(data: Path, chosen: Path, now: datetime, known: frozenset[str]) -> tuple[Manifest, Path | None]:
    """Put a checked backup in the place of the data of the PostgreSQL; what is there now is copied aside.

    Parameters and errors are those of `restore`; the tables must be those of this program.
    """
    from rillbed.web.backup import server

    fresh = data / f".restored-{secrets.token_hex(4)}.sqlite3"
    try:
        told = unpacked(chosen, fresh, known)
        aside = None
        if server.holds_data():
            made = backup_server(data, now, keep=sys.maxsize)
            aside = made.replace(data / f"before-{made.name.removeprefix('rillbed-')}")
        server.load(fresh)
    finally:
        fresh.unlink(missing_ok=True)
    return told, aside


def unpacked(chosen: Path, fresh: Path, known: frozenset[str]) -> Manifest:
    """Write the database of a backup to the new file `fresh`, checked.

    Raises
    ------
    BackupError
        If the backup is damaged or of a newer program.
    """
    told = archive.unpack(chosen, fresh)
    if strange := sorted(set(told.migrations) - known):
        raise BackupError(f"{chosen.name}: made by a newer version, {told.version}, which also has {strange[0]}")
    return told


def check(chosen: Path, known: frozenset[str]) -> Manifest:
    """Read a backup as `restore` does, and change nothing.

    Raises
    ------
    BackupError
        If it could not be restored.
    """
    with TemporaryDirectory(prefix="rillbed-check-") as folder:
        return unpacked(chosen, Path(folder) / archive.DATABASE, known)


def _put_aside(data: Path, now: datetime) -> Path | None:
    database = data / archive.DATABASE
    if not database.exists():
        return None
    aside = data / f"before-{now.astimezone(UTC):%Y%m%dT%H%M%S}-{secrets.token_hex(2)}"
    aside.mkdir(mode=0o700)
    # The journal belongs to its database: one without the other would be another state.
    for end in ("", "-wal", "-shm"):
        with suppress(FileNotFoundError):
            (data / (archive.DATABASE + end)).replace(aside / (archive.DATABASE + end))
    return aside
