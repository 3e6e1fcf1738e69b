"""Nitrogen that was added and what of it is still bound: with organic sources the kit does not see it yet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import words
from rillbed.draw.table import short
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.ledger import Addition, additions


@dataclass(frozen=True)
class Ledger:
    """Rows of (day, added, free by now, still bound), each in g of nitrogen, and their sums; `slow` if any is bound."""

    rows: tuple[tuple[str, str, str, str], ...]
    total: tuple[str, str, str]
    slow: bool


def ledger(system: System, log: Sequence[LogEntry], on: date) -> Ledger | None:
    """Return the ledger of a start-up; None while nothing was added.

    In grams, so that no volume of water has to be guessed.
    """
    litres = 1000.0 * system.total_volume_m3
    found = [(item, litres * item.mg_l / 1000.0) for item in additions(system, log, litres)]
    if not found:
        return None
    bound = [grams * _bound(item, on) for item, grams in found]
    rows = [
        (words.day(item.on), short(grams), short(grams - left), short(left))
        for (item, grams), left in zip(found, bound, strict=True)
    ]
    added = sum(grams for _, grams in found)
    return Ledger(
        rows=tuple(rows),
        total=(short(added), short(added - sum(bound)), short(sum(bound))),
        slow=any(item.at_once < 1.0 for item, _ in found),
    )


def _bound(item: Addition, on: date) -> float:
    return (1.0 - item.at_once) * math.exp(-item.release_per_day * (on - item.on).days)
