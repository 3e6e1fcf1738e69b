"""Empty or older SQLite databases, brought to a state of the tables in a process of their own.

Of its own, because what a migration does without saying where must never reach the database of this installation.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from rillbed.web.backup.archive import BackupError
from rillbed.web.database import VARIABLE


def bring(folder: Path, leaves: Sequence[str] = ()) -> None:
    """Bring the database in a folder to the state of these migrations; none makes it as new as this program.

    Parameters
    ----------
    folder : Path
        Where it lies under its usual name, or is made.
    leaves : sequence of str
        Last migration of each app, as "app.name".

    Raises
    ------
    BackupError
        If that fails.
    """
    there = {name: value for name, value in os.environ.items() if name != VARIABLE}
    there |= {"RILLBED_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "rillbed.web.settings"}
    done = subprocess.run([sys.executable, "-m", __name__, *leaves], env=there, capture_output=True, text=True)
    if done.returncode:
        why = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise BackupError(f"tables: cannot be made for the copy; {why}")


def _here(leaves: Sequence[str]) -> None:
    import django
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    django.setup()
    executor = MigrationExecutor(connection)
    wanted = [(app, name) for app, _, name in (leaf.partition(".") for leaf in leaves)]
    executor.migrate(wanted or executor.loader.graph.leaf_nodes())
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA journal_mode=DELETE")  # all in one file
    connection.close()


if __name__ == "__main__":
    _here(sys.argv[1:])
