"""``rillbed demo``: an invented loop with a year of log, in a browser."""

from __future__ import annotations

import argparse

from rillbed.cli.options import add_verb, day, port


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs, "demo", "open an invented loop in a browser; nothing is kept", "rillbed demo --on 2031-05-22"
    )
    verb.add_argument("--port", type=port, metavar="N", help="port to listen on (a free one)")
    verb.add_argument("--on", type=day, metavar="DATE", help="day the example pretends it is (today)")
    verb.add_argument("--no-browser", action="store_true", help="print the address only")
    verb.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Start the example."""
    # Django is only loaded by the two verbs that need it.
    from rillbed.web import launch

    launch.demo(open_browser=not args.no_browser, port=args.port, on=args.on)
    return 0
