"""Which part of the ration: what each would do to fish, bacteria and the return, side by side."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.plan.away import Away, Shares
from rillbed.tongue import tr
from rillbed.web.log.kinds import SHARES
from rillbed.words import amount, between, capital, say


@dataclass(frozen=True)
class Compared:
    """Everything the template shows: one row for each share, the address of its sheet last."""

    verdict: str
    rows: tuple[tuple[str, str, str, str, str, str], ...]


def compared(found: Shares) -> Compared:
    """Put what was found into words."""
    names = {float(key): tr(label) for key, label in SHARES}
    if found.lowest is None:
        verdict = tr("Fish lose weight in some futures whatever is fed: it is too cold for them, or too much else.")
    elif found.lowest == 0.0:
        verdict = tr("Even unfed, fish keep their weight in nine futures of ten.")
    else:
        verdict = say("Lowest safe feed: {share}.", share=names[found.lowest])
    return Compared(verdict, tuple(_row(row, names) for row in found.rows))


def _row(row: Away, names: dict[float, str]) -> tuple[str, str, str, str, str, str]:
    asked = f"first={row.first.isoformat()}&last={row.last.isoformat()}&share={row.share:g}"
    return (
        capital(names[row.share]),
        amount(sum(grams for _, grams in row.feed), "g"),
        _signed(row.gain_g.low, row.gain_g.high),
        say("{begin} of {ration}", begin=amount(row.begin_g, "g"), ration=amount(row.ration_g, "g")),
        between(row.ammonia_mg_l.low, row.ammonia_mg_l.high),
        asked,
    )


def _signed(low: float, high: float) -> str:
    """Write a gain or loss, g: with its sign, in words between."""
    return say("{low} to {high}", low=amount(low, "g"), high=amount(high, "g"))
