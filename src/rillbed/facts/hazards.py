"""What can hurt people, fish, food or the law, with the cautions about it and their sources."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rillbed.facts.load import Row, read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard(Row):
    """One hazard.

    Attributes
    ----------
    codes : tuple of str
        Codes of its cautions; each caution belongs to one hazard.
    """

    name: str
    codes: tuple[str, ...]


@cache
def hazards() -> dict[str, Hazard]:
    """Return every hazard by id."""
    return read_rows("hazards.toml", Hazard)


@cache
def hazard_of(code: str) -> Hazard:
    """Return the hazard a caution is about.

    Raises
    ------
    KeyError
        If no hazard names the code.
    """
    found = next((row for row in hazards().values() if code in row.codes), None)
    if found is None:
        raise KeyError(code)
    return found
