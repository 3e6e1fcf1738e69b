"""``rillbed export`` and ``rillbed import``: a loop as a file, and a file into a loop."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from rillbed.cli.options import add_verb


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add both verbs."""
    verb = add_verb(
        verbs, "export", "write a loop with its whole log into a zip of tables", "rillbed export --loop 'Fig loop'"
    )
    verb.add_argument("--loop", metavar="NAME", help="which loop, if there are several")
    verb.add_argument("--to", type=Path, metavar="FILE", help="where to (rillbed-NAME.zip here)")
    verb.set_defaults(run=export)
    verb = add_verb(
        verbs,
        "import",
        "take a zip or a log into a loop, all of it or nothing",
        "rillbed import fig-loop.zip --dry-run",
    )
    verb.add_argument("file", type=Path, metavar="FILE", help="a zip made by export, or a log (CSV or JSON lines)")
    verb.add_argument("--into", metavar="NAME", help="loop to add to (a new one)")
    verb.add_argument("--person", metavar="NAME", help="whose it is, if there are several people")
    verb.add_argument("--dry-run", action="store_true", help="say what would come of it, store nothing")
    verb.set_defaults(run=bring)


def export(args: argparse.Namespace) -> int:
    """Write the file."""
    from rillbed.web import launch

    print(launch.export(args.loop, args.to))
    return 0


def bring(args: argparse.Namespace) -> int:
    """Take a file in; every fault is a line."""
    from rillbed.web import launch

    taken = launch.bring(args.file, args.into, args.person, dry=args.dry_run)
    for one in taken.faults:
        print(f"rillbed: {one.line()}", file=sys.stderr)
    if taken.faults:
        print("rillbed: nothing was stored", file=sys.stderr)
        return 2
    verb = "would be taken in" if args.dry_run else "taken in"
    print(f"{taken.stored} entries {verb}, {taken.known} are there already.")
    return 0
