"""``rillbed serve``: the pages for your own loops."""

from __future__ import annotations

import argparse

from rillbed.cli.options import add_verb, port


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(verbs, "serve", "serve the pages for your own loops", "rillbed serve --port 8080")
    verb.add_argument("--host", default="127.0.0.1", metavar="HOST", help="address to listen on (this machine only)")
    verb.add_argument("--port", type=port, default=8000, metavar="N", help="port to listen on (8000)")
    verb.add_argument(
        "--no-worker", action="store_true", help="leave the working out to rillbed work (PostgreSQL only)"
    )
    verb.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Start the server."""
    from rillbed.web import launch

    launch.serve(args.host, args.port, works=not args.no_worker)
    return 0
