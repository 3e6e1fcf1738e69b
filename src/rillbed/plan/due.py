"""Which readings are due, how overdue, and why they matter now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Value
from rillbed.plan.answers import ReadingDue
from rillbed.plan.look import latest

WHY = {
    "tan": "read.why.alarm",
    "no2": "read.why.alarm",
    "no3": "read.why.plants",
    "ph": "read.why.buffer",
    "alkalinity": "read.why.buffer",
}

# A reading over a limit is taken again the next day.
RETEST_DAYS = int(facts.value("plan.retest_days"))


def readings_due(
    system: System, log: Sequence[LogEntry], on: date, *, starting: bool, alarm: frozenset[str] = frozenset()
) -> tuple[ReadingDue, ...]:
    """List the readings due on a day, the most overdue first.

    What stands in ``alarm`` was over its limit when last read and is due again the day after. A quantity the user's
    kits cannot read is left out; with no kits listed all are asked.
    """
    owned: set[str] = {kit.quantity for kit in system.kits} or set(WHY)
    out = []
    for quantity, why in WHY.items():
        if quantity not in owned:
            continue
        every = RETEST_DAYS if quantity in alarm else every_days(quantity, starting=starting)
        seen = latest(system, log, quantity)
        late = (on - system.started_on).days if seen is None else (on - seen.on).days - every
        if late >= 0:
            doses = starting and system.startup_path == "fishless"
            reason = "read.why.cycling" if doses and quantity in ("tan", "no2") else why
            out.append(ReadingDue(quantity, None if seen is None else seen.on, every, late, reason))
    return tuple(sorted(out, key=lambda item: -item.overdue_days))


def every_days(quantity: str, *, starting: bool) -> int:
    """Days between readings of a quantity, while starting or while running."""
    return int(facts.value(f"plan.{quantity}_start_days" if starting else f"plan.{quantity}_days"))


def reading_advice(due: tuple[ReadingDue, ...]) -> tuple[Advice, ...]:
    """One advice for all readings due: they are one walk to the tank."""
    if not due:
        return ()
    quantities: Value = tuple(item.quantity for item in due)
    whys = dict.fromkeys(item.why for item in due)
    reasons = [Reason(why, {"quantities": tuple(item.quantity for item in due if item.why == why)}) for why in whys]
    never = tuple(item.quantity for item in due if item.last is None)
    if never:
        none = never == quantities and len(never) > 1
        reasons.append(Reason("read.none_yet" if none else "read.not_yet", {"quantities": never}))
    reasons += [
        Reason("read.last", {"quantities": (item.quantity,), "last": item.last.isoformat(), "every": item.every_days})
        for item in due
        if item.last is not None
    ]
    return (Advice("read.due", "reading", params={"quantities": quantities}, reasons=tuple(reasons)),)
