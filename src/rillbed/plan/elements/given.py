"""What went in today of what a plan of supplements would give: the forecast counts doses from the next morning on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed.engine.pack import dose_grams
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.products import Product
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.doses import Since
from rillbed.plan.doses.schedule import ALKALINITY
from rillbed.plan.elements.supplements import Supplements
from rillbed.plan.look import until
from rillbed.plan.nutrients import QUANTITY
from rillbed.plan.shelf import BASES


def given_today(found: Supplements, system: System, entries: Sequence[LogEntry], on: date) -> Since | None:
    """Look up what a plan does not count yet.

    Parameters
    ----------
    found : Supplements
        The plan.
    system, entries
        The loop at the start of its log, and the log.
    on : date
        Day of the plan.

    Returns
    -------
    Since or None
        Of the first need that something was given for today after it was last read; ``None`` if nothing was.
    """
    log = until(system, entries, on)
    products = system_at(system, entries, on).products
    for gap in found.gaps:
        quantity = QUANTITY.get(gap.element, gap.element)
        read = next((entry for entry in reversed(log) if _reads(entry, quantity)), None)
        given = tuple(
            entry
            for entry in log
            if isinstance(entry.payload, Dosed)
            and system.day_of(entry.at) == on
            and (read is None or entry.at > read.at)
            and _brings(entry.payload, gap.element, products)
        )
        if given:
            return Since(quantity, read, given)
    return None


def _reads(entry: LogEntry, quantity: str) -> bool:
    payload = entry.payload
    return isinstance(payload, Reading) and payload.quantity == quantity and not payload.source_water


def _brings(payload: Dosed, element: str, products: tuple[Product, ...]) -> bool:
    if element == ALKALINITY:
        return payload.substance in BASES
    return dose_grams(payload, products).get(element, 0.0) > 0.0
