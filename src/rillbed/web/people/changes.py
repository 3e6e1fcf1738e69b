"""What was changed and by whom, as a sentence: kept in English as it was written down, said as its reader reads."""

from __future__ import annotations

import re

from rillbed import words
from rillbed.tongue import later, tr

# What was done -> how it is told.
TOLD = {
    "invited": later("{author} invited somebody as {about}"),
    "invitation_back": later("{author} took an invitation back, for a {about}"),
    "joined": later("{author} came in as {about}"),
    "role": later("{author} gave another role to {about}"),
    "removed": later("{author} removed {about}"),
    "left": later("{author} left: {about}"),
    "shared": later("{author} made a page for everybody: {about}"),
    "unshared": later("{author} closed the page {about}"),
    "token": later("{author} made the token {about}"),
    "token_back": later("{author} revoked the token {about}"),
    "imported": later("{author} took in a file: {about}"),
    "exported": later("{author} took a copy out: {about}"),
}
# Where more than a name was written down: its form, and the sentence with its parts.
PARTS = {
    "joined": (
        re.compile(r"(?P<role>\w+), invited by (?P<by>.+)"),
        later("{author} came in as {role}, invited by {by}"),
    ),
    "role": (
        re.compile(r"(?P<name>.+): (?P<before>\w+) to (?P<role>\w+)"),
        later("{author} gave another role to {name}: {before} to {role}"),
    ),
    "imported": (
        re.compile(r"(?P<name>.+), (?P<count>\d+) entries"),
        later("{author} took in a file: {name}, {count} entries"),
    ),
    "exported": (re.compile(r"(?P<count>\d+) bytes"), later("{author} took a copy out: {count} bytes")),
}
WORDS = {"role", "before"}  # of the code; all else was given by people


def told(what: str, author: str, about: str) -> str:
    """Say a change.

    Examples
    --------
    >>> told("role", "Ann", "Ben: reader to helper"), told("shared", "Ann", "Our loop")
    ('Ann gave another role to Ben: reader to helper', 'Ann made a page for everybody: Our loop')
    """
    if (parts := PARTS.get(what)) and (found := parts[0].fullmatch(about)):
        fields = {name: tr(text) if name in WORDS else text for name, text in found.groupdict().items()}
        return words.say(parts[1], author=author, **fields)
    if what in ("invited", "invitation_back"):
        about = tr(about)
    return words.say(TOLD[what], author=author, about=about)
