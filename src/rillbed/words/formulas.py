"""The formula behind an amount, in words and signs, by the code an advice carries."""

from __future__ import annotations

from rillbed.tongue import tr

FORMULAS: dict[str, tuple[str, ...]] = {
    "feed.ration": (
        "gain of one fish a day follows from growth rate × warmth × weight to the power ⅔",
        "feed a day = fish × (gain × feed for each gram of gain, at most the feed table) × appetite in this water",
        "three futures in four could use more: the cautious side of the middle",
        "a meal = feed a day ÷ meals",
    ),
    "dose.nitrogen_for_rise": (
        "nitrogen = wanted rise × water in the loop",
        "amount = nitrogen ÷ share of nitrogen in the source",
    ),
    "base.step": (
        "wanted = alkalinity mark − alkalinity now (the lower end of the reading, moved on by the model)",
        "allowed = what lifts pH by 0.2 in closed water: alkalinity × carbon dioxide × (10 to the power 0.2 − 1) ÷ "
        "(carbon dioxide + carbon dioxide bound by the base × 10 to the power 0.2 × alkalinity)",
        "amount = smaller of both × water in the loop ÷ alkalinity in one gram",
    ),
    "add.grams": (
        "rise = target − what is there (lower end), at most what one day allows",
        "amount = rise × water in the loop ÷ share of the element in the supply",
    ),
    "salt.grams": (
        "chloride wanted = 10 × nitrite ion by weight, at least 100 mg/L; nitrite ion = 3.28 × nitrite as N",
        "amount = (wanted − there, at most a day's step) × water in the loop ÷ share of chloride in the salt",
    ),
    "room.chance": (
        "plants one future carries = smallest of (store − floor) ÷ (draw of one plant), over elements and days",
        "plants advised = the number that eight futures in ten carry, at most the free places",
    ),
}


def formula(code: str) -> tuple[str, ...]:
    """Lines of a formula; none for an advice without an amount.

    Raises
    ------
    KeyError
        For a code that has no formula in words.
    """
    return tuple(map(tr, FORMULAS[code])) if code else ()
