"""Single figures: the constants of the sciences and the rules of practice, each with unit, grade and source.

They lie in `constants/`, a file per family; the key is the family and the name: `ammonia.pka_slope`. The choices of
the model, in `choices.toml`, are read here too, so that one list shows every figure.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Literal

from rillbed.facts.load import Row, read_rows, rows_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact(Row):
    """One figure, or the coefficients of one equation in its own order.

    Attributes
    ----------
    value : float or tuple of float
        The figure in `unit`.
    at : str
        Table, equation or page of the source.
    read : str
        Whether the source was read: original, second-hand or not read.
    how : str
        For a derived figure, from what.
    valid : dict of str to tuple of float
        Quantities with units in their names, each with the ends of its range.
    low, high : float or None
        Where the figure has a spread.
    """

    value: float | tuple[float, ...]
    unit: str
    at: str = ""
    read: Literal["original", "second-hand", "not read"] = "not read"
    how: str = ""
    valid: dict[str, tuple[float, ...]] = field(default_factory=dict)
    low: float | None = None
    high: float | None = None

    @property
    def key(self) -> str:
        """Family and name."""
        return self.id


@cache
def facts() -> dict[str, Fact]:
    """Return every figure by key, the choices of the model among them."""
    folder = files(__package__).joinpath("constants")
    found = read_rows("choices.toml", Fact)
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        family = file.name.removesuffix(".toml")
        if family != file.name:
            found |= rows_of(file.read_text("utf-8"), Fact, f"constants/{file.name}", prefix=f"{family}.")
    return found


def fact(key: str) -> Fact:
    """Return one figure with its origin.

    Raises
    ------
    KeyError
        If there is none of this key.

    Examples
    --------
    >>> fact("ammonia.pka_slope").source
    ('emerson1975',)
    """
    try:
        return facts()[key]
    except KeyError:
        raise KeyError(f"key = {key!r}: no such figure") from None


def value(key: str) -> float:
    """Return one figure as a number in its unit.

    Raises
    ------
    KeyError
        If there is none of this key.
    TypeError
        If it is a row of coefficients.

    Examples
    --------
    >>> value("ammonia.pka_slope")
    2729.92
    """
    number = fact(key).value
    if isinstance(number, tuple):
        raise TypeError(f"key = {key!r}: is a row of coefficients; ask for it with series()")
    return number


def series(key: str) -> tuple[float, ...]:
    """Return the coefficients of one equation, in the equation's order.

    Raises
    ------
    KeyError
        If there is none of this key.
    TypeError
        If it is a single number.

    Examples
    --------
    >>> series("carbonate.k1")[0]
    -356.3094
    """
    numbers = fact(key).value
    if not isinstance(numbers, tuple):
        raise TypeError(f"key = {key!r}: is a single number; ask for it with value()")
    return numbers
