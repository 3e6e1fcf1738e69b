"""Text that a spreadsheet would take for a formula, made harmless on writing and restored on reading."""

from __future__ import annotations

# What spreadsheets begin a formula with, their wide forms, and blanks that some of them skip before it.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def shielded(text: str) -> str:
    """Put an apostrophe before text that could be a formula, or that begins with one.

    Examples
    --------
    >>> shielded("=1+1"), shielded("'tis"), shielded("tank")
    ("'=1+1", "''tis", 'tank')
    """
    return f"'{text}" if text.startswith((*FORMULA, "'")) else text


def unshielded(text: str) -> str:
    """Take the apostrophe off again.

    Examples
    --------
    >>> unshielded(shielded("=1+1"))
    '=1+1'
    """
    return text.removeprefix("'")
