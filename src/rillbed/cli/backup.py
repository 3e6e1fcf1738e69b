"""``rillbed backup``, ``verify`` and ``restore``: copying the data, and going back to a copy."""

from __future__ import annotations

import argparse
from pathlib import Path

from rillbed.cli.options import add_verb, whole


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the three verbs."""
    verb = add_verb(verbs, "backup", "copy your data, while the server runs or not", "rillbed backup --keep 14")
    verb.add_argument("--keep", type=whole, default=14, metavar="N", help="newest copies to keep (14)")
    verb.set_defaults(run=run)
    verb = add_verb(verbs, "verify", "check that a copy could be restored", "rillbed verify rillbed-backup.zip")
    verb.add_argument("file", type=Path, metavar="FILE", help="a copy made by rillbed backup")
    verb.set_defaults(run=look)
    verb = add_verb(verbs, "restore", "go back to a copy; stop the server first", "rillbed restore rillbed-backup.zip")
    verb.add_argument("file", type=Path, metavar="FILE", help="a copy made by rillbed backup")
    verb.set_defaults(run=back)


def run(args: argparse.Namespace) -> int:
    """Make a copy."""
    from rillbed.web import launch

    print(launch.backup(args.keep))
    return 0


def look(args: argparse.Namespace) -> int:
    """Check a copy."""
    from rillbed.web import launch

    told = launch.verify(args.file)
    rows = told.rows.get("log_logrow", 0)
    print(f"Sound: data of {told.made_at}, version {told.version}, {rows} log entries. It can be restored.")
    return 0


def back(args: argparse.Namespace) -> int:
    """Go back to a copy."""
    from rillbed.web import launch

    told, aside = launch.restore(args.file)
    print(f"Restored: data of {told.made_at}, version {told.version}, {told.rows.get('log_logrow', 0)} log entries.")
    if aside is not None:
        print(f"What was there before is kept in {aside}")
    return 0
