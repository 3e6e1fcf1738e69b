"""``rillbed work``: working out forecasts and plans beside the pages, in as many processes as wanted."""

from __future__ import annotations

import argparse

from rillbed.cli.options import add_verb


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(verbs, "work", "work out forecasts beside the pages (PostgreSQL only)", "rillbed work")
    verb.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Take jobs until asked to stop."""
    from rillbed.web.work import work

    work()
    return 0
