"""``rillbed doctor``: whether this installation is in order."""

from __future__ import annotations

import argparse

from rich.console import Console

from rillbed.cli.options import add_verb

MARKS = {"sound": "[green]sound[/]", "look": "[yellow]look [/]", "wrong": "[red]wrong[/]"}


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs, "doctor", "whether this installation is in order; nothing is changed", "rillbed doctor --json"
    )
    verb.add_argument("--json", action="store_true", help="print as JSON")
    verb.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Look everything over; 1 if something is wrong."""
    from rillbed.web import launch
    from rillbed.words.plain import to_json

    found = launch.doctor()
    if args.json:
        print(to_json(found))
    else:
        out = Console()
        for one in found:
            out.print(f"{MARKS[one.state]}  {one.what}: {one.about}", highlight=False, soft_wrap=True)
    return int(any(one.state == "wrong" for one in found))
