"""Which readings are due, how overdue, and why they matter now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason
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
            reason = "read.why.cycling" if starting and quantity in ("tan", "no2") else why
            out.append(ReadingDue(quantity, None if seen is None else seen.on, every, late, reason))
    return tuple(sorted(out, key=lambda item: -item.overdue_days))


def every_days(quantity: str, *, starting: bool) -> int:
    """Days between readings of a quantity, while starting or while running."""
    return int(facts.value(f"plan.{quantity}_start_days" if starting else f"plan.{quantity}_days"))


def reading_advice(due: tuple[ReadingDue, ...]) -> tuple[Advice, ...]:
    """One advice per reading due."""
    return tuple(
        Advice(
            "read.due",
            "reading",
            params={"quantity": item.quantity},
            reasons=(
                Reason("read.never")
                if item.last is None
                else Reason("read.last", {"last": item.last.isoformat(), "every": item.every_days}),
                Reason(item.why),
            ),
            entry={"kind": "reading", "payload": {"quantity": item.quantity}},
            expect=Reason("expect.interval"),
        )
        for item in due
    )
