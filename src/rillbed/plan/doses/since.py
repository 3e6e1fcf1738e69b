"""What went in after the reading an answer stands on: figures that do not count it would give it twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, WaterChanged
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.doses.answer import Goal
from rillbed.plan.look import until
from rillbed.plan.shelf import CHLORIDES

PH_MOVERS = ("base", "acid")
# Quantity each goal stands on; those left out do not build on a reading.
STANDS_ON = {
    "raise_ph": "ph", "lower_ph": "ph", "raise_alkalinity": "alkalinity", "carbonate_media": "alkalinity",
    "protect_nitrite": "cl", "iron": "fe",
}  # fmt: skip
# No forecast stands in for these where they were not read, so that doses of the last days go unseen.
UNFORESEEN = ("cl", "fe")


@dataclass(frozen=True)
class Since:
    """The quantity an answer stands on, the entry in which it was read last, and what went in after it."""

    quantity: str
    read: LogEntry | None
    given: tuple[LogEntry, ...]


def stands_on(goal: Goal) -> str | None:
    """Quantity that must be read anew before the same is given again."""
    return goal.quantity if goal.kind == "dilute" else STANDS_ON.get(goal.kind)


def moves(substance: str) -> str | None:
    """Quantity that a supply is given for and that must be read anew before more of it."""
    row = facts.supplements().get(substance)
    if substance in CHLORIDES:
        return "cl"
    return None if row is None else "ph" if row.kind in PH_MOVERS else "fe" if row.kind == "chelate" else None


def since(quantity: str, system: System, entries: Sequence[LogEntry], on: date) -> Since:
    """Look up what went in since a quantity was last read in the loop.

    Parameters
    ----------
    quantity : str
        From `stands_on` or `moves`.
    system : System
        The loop at the start of its log.
    entries : sequence of LogEntry
    on : date
        The last day that counts; readings older than ``plan.buffer_stale_days`` do not.

    Returns
    -------
    Since
        Where the quantity was not read of late, only chloride and iron look back, over those days: the others come
        from the forecast, which knows its doses.
    """
    days = int(facts.value("plan.buffer_stale_days"))
    log = [entry for entry in until(system, entries, on) if (on - system.day_of(entry.at)).days <= days]
    read = next((entry for entry in reversed(log) if _reads(entry, quantity)), None)
    if read is None and quantity not in UNFORESEEN:
        return Since(quantity, None, ())
    later = [entry for entry in log if (read is None or entry.at > read.at) and _moves(entry, quantity)]
    return Since(quantity, read, tuple(later))


def _reads(entry: LogEntry, quantity: str) -> bool:
    payload = entry.payload
    return isinstance(payload, Reading) and payload.quantity == quantity and not payload.source_water


def _moves(entry: LogEntry, quantity: str) -> bool:
    payload = entry.payload
    if isinstance(payload, WaterChanged):
        return quantity not in (*UNFORESEEN, "ph", "alkalinity")
    if not isinstance(payload, Dosed):
        return False
    return moves(payload.substance) == ("ph" if quantity == "alkalinity" else quantity)
