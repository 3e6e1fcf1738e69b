"""What the script of the waiting entries says, in the reader's language: it cannot look anything up itself.

The English texts stand in ``queue.js`` and are keys here, so that a page kept from before still says something.
"""

from __future__ import annotations

import json
from collections.abc import Callable

from rillbed.tongue import current, later, many, tr

TEXTS = (
    later("Entries that wait on this phone"),
    later("Which"),
    later("{when}, refused: open the form and type it again"),
    later("Discard"),
    later("Discard: {title}"),
    later("Discard this entry? It is nowhere else."),
    later("Send now"),
    later("No network yet."),
    later("Sign in to send."),
    later("It is sent as soon as there is a network."),
    later("No network. This page is from {when}."),
    later("No network. This page is from earlier."),
)
# By what it says of several; each gives the form for a count.
COUNTED: dict[str, Callable[[int], str]] = {
    "{n} entries wait on this phone.": lambda n: many(
        "{n} entry waits on this phone.", "{n} entries wait on this phone.", n
    ),
    "{n} entries were sent.": lambda n: many("{n} entry was sent.", "{n} entries were sent.", n),
}
HIGHEST = 200  # every plural form of every language is met below


def texts() -> str:
    """Return the texts that differ from their English, as JSON; nothing where all are English."""
    told: dict[str, object] = {text: said for text in TEXTS if (said := tr(text)) != text}
    rule = current().dates.plural_form
    for several, form in COUNTED.items():
        if form(2) != several:
            told[several] = {rule(n): form(n) for n in range(HIGHEST, -1, -1)}
    return json.dumps(told, ensure_ascii=False) if told else ""
