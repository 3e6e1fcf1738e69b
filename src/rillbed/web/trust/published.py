"""The published validation as parts of a page: the few forms of its text, nothing more."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class Part:
    """A heading, a paragraph or a table (its heads and rows)."""

    kind: str
    text: str = ""
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


@cache
def parts() -> tuple[Part, ...]:
    """Return the parts of the text that comes with this version; none where it is not installed."""
    source = files("rillbed.web.trust") / "published.md"
    return parsed(source.read_text("utf-8")) if source.is_file() else ()


def parsed(text: str) -> tuple[Part, ...]:
    """Split a text into parts at its empty lines.

    Examples
    --------
    >>> [part.kind for part in parsed("# A" + chr(10) * 2 + "one" + chr(10) + "two")]
    ['title', 'text']
    """
    found = []
    for block in text.strip().split("\n\n"):
        lines = [line.strip() for line in block.strip().splitlines()]
        if lines[0].startswith("#"):
            kind = "title" if lines[0].startswith("# ") else "heading"
            found.append(Part(kind, _plain(lines[0].lstrip("# "))))
            lines = lines[1:]
        if lines and lines[0].startswith("|"):
            head, _, *rows = [tuple(_plain(cell.strip()) for cell in line.strip("|").split("|")) for line in lines]
            found.append(Part("table", heads=head, rows=tuple(rows)))
        elif lines:
            found.append(Part("text", _plain(" ".join(lines))))
    return tuple(found)


def _plain(text: str) -> str:
    return text.replace("`", "").replace("**", "")
