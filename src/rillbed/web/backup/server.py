"""The data of a PostgreSQL as the one file that backups hold, and such a file into a PostgreSQL.

One form of backup for both databases: a copy can be restored on either, with no program but this one.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.core.management.color import no_style
from django.db import Error, connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import Model

from rillbed.web import database
from rillbed.web.backup import schema
from rillbed.web.backup.archive import GUARDED_SINCE, BackupError

GUARDS = frozenset({"log_append_only", "log_never_emptied"})
FILE = "backup-file"  # name of the second connection
ROWS = 2000  # at a time


def guards() -> set[str]:
    """Return the triggers that stand on the log and are switched on."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT tgname FROM pg_trigger WHERE tgrelid = to_regclass('log_logrow') "
            "AND NOT tgisinternal AND tgenabled <> 'D'"
        )
        return {name for (name,) in cursor.fetchall()}


def dump(target: Path) -> None:
    """Copy the data as of one moment to a new SQLite file; whoever writes meanwhile is not stopped.

    Raises
    ------
    BackupError
        If there are no data, they cannot be read, or the lock of the log is missing.
    """
    seen, _ = database.migrations()
    if not seen:
        raise BackupError(f"{database.place()}: there are no data yet")
    if GUARDED_SINCE in seen and (gone := GUARDS - guards()):
        raise BackupError(f"{database.place()}: the lock of the log is missing; no trigger {min(gone)}")
    loader = MigrationExecutor(connection).loader
    leaves = [key for key in loader.applied_migrations if not _followed(loader, key)]
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".tables-") as folder:
        schema.bring(Path(folder), [f"{app}.{name}" for app, name in leaves])
        try:
            with _opened(Path(folder) / database.FILE), transaction.atomic():
                with connection.cursor() as cursor:
                    cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
                _copy(list(_tables(loader, leaves)), "default", FILE)
        except Error as error:
            raise BackupError(f"{database.place()}: cannot be copied; {' '.join(str(error).split())}") from None
        shutil.move(Path(folder) / database.FILE, target)


def load(source: Path) -> None:
    """Put the data of a SQLite file in the place of all that the database holds, whole or not at all.

    Parameters
    ----------
    source : Path
        A checked copy, of this version or an older one; it is changed.

    Raises
    ------
    BackupError
        If that fails; the database is then as it was.
    """
    with tempfile.TemporaryDirectory(dir=source.parent, prefix=".tables-") as folder:
        fresh = Path(folder) / database.FILE
        shutil.move(source, fresh)
        schema.bring(Path(folder))
        loader = MigrationExecutor(connection).loader
        tables = list(_tables(loader, loader.graph.leaf_nodes()))
        try:
            with _opened(fresh), transaction.atomic():
                _empty(tables)
                _copy(tables, FILE, "default")
                with connection.cursor() as cursor:
                    for statement in connection.ops.sequence_reset_sql(no_style(), tables):
                        cursor.execute(statement)
        except Error as error:
            raise BackupError(f"{database.place()}: cannot take these data; {' '.join(str(error).split())}") from None


def holds_data() -> bool:
    """Whether there is anything that somebody would miss."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT EXISTS (SELECT 1 FROM log_loop) OR EXISTS (SELECT 1 FROM auth_user)")
        return bool(cursor.fetchone()[0])


def _followed(loader: Any, key: tuple[str, str]) -> bool:
    node = loader.graph.node_map.get(key)
    if node is None:
        raise BackupError(f"{database.place()}: data of a newer version, which also has {'.'.join(key)}")
    return any(child.key[0] == key[0] and child.key in loader.applied_migrations for child in node.children)


def _tables(loader: Any, leaves: list[tuple[str, str]]) -> Iterator[type[Model]]:
    """Tables as they are at a state of the migrations, whatever the program has become since."""
    apps = loader.project_state(leaves).apps
    for one in apps.get_models(include_auto_created=True):
        if one._meta.managed and not one._meta.proxy:
            yield one
    yield MigrationRecorder.Migration


def _copy(tables: list[type[Model]], source: str, target: str) -> None:
    with transaction.atomic(using=target):
        MigrationRecorder.Migration._base_manager.using(target).all().delete()
        for one in tables:
            rows: list[Model] = []
            count = 0
            there = one._base_manager.using(target)
            for row in one._base_manager.using(source).order_by("pk").iterator(ROWS):
                rows.append(row)
                if len(rows) == ROWS:
                    count += len(there.bulk_create(rows))
                    rows = []
            count += len(there.bulk_create(rows))
            if count != there.count():
                raise BackupError(f"{one._meta.db_table}: {count} rows were copied, {there.count()} are there")


def _empty(tables: list[type[Model]]) -> None:
    quoted = ", ".join(connection.ops.quote_name(one._meta.db_table) for one in tables)
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("UPDATE log_loop SET erasing = true")  # opens the lock of the log, in this transaction alone
        cursor.execute(f"TRUNCATE {quoted}")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")  # tables come in any order


@contextmanager
def _opened(path: Path) -> Iterator[None]:
    """Let Django know the file as a second database for a while."""
    plain = {"USER": "", "PASSWORD": "", "HOST": "", "PORT": "", "CONN_MAX_AGE": 0, "CONN_HEALTH_CHECKS": False}
    told = connections.settings["default"] | database.sqlite(path) | plain
    told["OPTIONS"] = {"transaction_mode": "IMMEDIATE"}
    connections.settings[FILE] = told
    try:
        yield
    finally:
        connections[FILE].close()
        del connections[FILE]
        del connections.settings[FILE]
