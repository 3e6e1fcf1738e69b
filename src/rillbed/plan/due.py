"""Which readings are due, how overdue, and why they matter now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason
from rillbed.plan.answers import ReadingDue
from rillbed.plan.look import latest

# Days between readings and the reason, (while starting, while running); common practice.
RHYTHM: dict[str, tuple[int, int, str]] = {
    "tan": (2, 7, "read.why.alarm"),
    "no2": (2, 7, "read.why.alarm"),
    "no3": (7, 7, "read.why.plants"),
    "ph": (2, 7, "read.why.buffer"),
    "alkalinity": (7, 14, "read.why.buffer"),
}

# A reading over a limit is taken again the next day.
RETEST_DAYS = 1


def readings_due(
    system: System, log: Sequence[LogEntry], on: date, *, starting: bool, alarm: frozenset[str] = frozenset()
) -> tuple[ReadingDue, ...]:
    """List the readings due on a day, the most overdue first.

    What stands in ``alarm`` was over its limit when last read and is due again the day after. A quantity the user's
    kits cannot read is left out; with no kits listed all are asked.
    """
    owned: set[str] = {kit.quantity for kit in system.kits} or set(RHYTHM)
    out = []
    for quantity, (start, running, why) in RHYTHM.items():
        if quantity not in owned:
            continue
        every = RETEST_DAYS if quantity in alarm else start if starting else running
        seen = latest(system, log, quantity)
        late = (on - system.started_on).days if seen is None else (on - seen.on).days - every
        if late >= 0:
            reason = "read.why.cycling" if starting and quantity in ("tan", "no2") else why
            out.append(ReadingDue(quantity, None if seen is None else seen.on, every, late, reason))
    return tuple(sorted(out, key=lambda item: -item.overdue_days))


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
