"""The books of one element in words: what brought it, what took it, with the range of the members."""

from __future__ import annotations

from rillbed.plan.answers import Band
from rillbed.plan.elements.ledger import Account, Line
from rillbed.tongue import tr
from rillbed.words.elements_phrases import LINES
from rillbed.words.numbers import NBSP, amount, number, say

MINUS = "\N{MINUS SIGN}"

HOW: dict[str, tuple[str, ...]] = {
    "model": (
        "in the water = there at the start + all that came in − all that went out, in each version of the loop",
        "from feed = feed eaten × content of feed × share that dissolves, and what solids free later",
        "to plants = growth × content between critical and luxury, less as the water runs out",
    ),
    "counted": (
        "from feed = feed eaten × content of feed × share that dissolves",
        "to plants = growth × content of a healthy leaf, lowest to highest",
        "nothing is claimed of what the water holds: no usual kit reads it",
    ),
    "n": (
        "from feed = feed × protein × nitrogen of protein − what fish keep − what leaves as solids",
        "to plants = growth × content, less as nitrate runs out",
        "into the air = a share of what passes the beds, more where nitrate is high",
    ),
}


def spread(band: Band) -> str:
    """Middle of a band with its ends; one figure where nothing is uncertain.

    Examples
    --------
    >>> spread(Band(19.9, 35.6, 45.4)), spread(Band(-52.6, -34.7, -26.8)), spread(Band(41.0, 41.0, 41.0))
    ('36 (20–45)', '35 (27–53)', '41')
    """
    low, middle, high = (number(abs(value)) for value in (band.low, band.middle, band.high))
    if abs(band.low) > abs(band.high):
        low, high = high, low
    return middle if low == middle == high else f"{middle} ({low}–{high})"


def held(account: Account) -> str:
    """Say how much of an element the water holds."""
    return tr("not known") if account.held_g is None else f"{spread(account.held_g)}{NBSP}{tr('g')}"


def line(item: Line) -> tuple[str, str, str]:
    """Cause, grams over the days of the books, and grams of the last month, each with its sign."""
    return tr(LINES[item.cause]), _signed(item.grams), _signed(item.month_g)


def printed(account: Account) -> str:
    """Say how far tables differ on what feed holds; empty where they print no range."""
    fed = account.line("feed")
    if fed is None or fed.table_g is None:
        return ""
    low, high = (amount(value, "g") for value in fed.table_g)
    return say(
        "By the lowest and the highest figure that tables print, feed brought {low} to {high} in all.",
        low=low,
        high=high,
    )


def rest(account: Account) -> str:
    """Say where the rest of the feed went."""
    return say(
        "Of what feed held, {fish} went into fish and {solids} into solids that left or lie in the loop.",
        fish=f"{spread(account.fish_g)}{NBSP}{tr('g')}",
        solids=f"{spread(account.solids_g)}{NBSP}{tr('g')}",
    )


def how(account: Account) -> tuple[str, ...]:
    """Lines of the formula behind an account."""
    return tuple(map(tr, HOW["n"] if account.element == "n" else HOW[account.basis]))


def _signed(band: Band) -> str:
    far = max(band.low, band.high, key=abs)
    return "0" if not far else f"{'+' if far > 0.0 else MINUS}{spread(band)}"
