"""Does the water balance: what water changes should have left against what was read after them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import ToppedUp, WaterChanged
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.verdict.evidence import Evidence


@dataclass(frozen=True)
class Hidden:
    """Ammonia before and after changes, mg N/L: `expected` is the most dilution can have left."""

    before: float
    after: float
    expected: float
    left: float
    changes: int
    producing: bool

    @property
    def reason(self) -> Reason:
        """The balance as a step of the argument."""
        values = {"before": self.before, "after": self.after, "expected": self.expected, "left": self.left,
                  "count": self.changes}  # fmt: skip
        return Reason("hidden.producing" if self.producing else "hidden.closes", values)


def hidden(
    system: System, log: Sequence[LogEntry], history: Mapping[str, tuple[Evidence, ...]],
    source: Mapping[str, Evidence],
) -> Hidden | None:  # fmt: skip
    """Hold the last ammonia reading against the latest earlier one with changes of water in between.

    Notes
    -----
    Each change leaves the share 1 - v/V of what was there and brings what the fresh water holds. The lowest value the
    later reading allows is held against the highest dilution can have left.

    Returns
    -------
    Hidden or None
        ``None`` without two readings around a change, or where there was nothing to dilute.
    """
    items = history.get("tan", ())
    if len(items) < 2:
        return None
    after = items[-1]
    litres = 1000.0 * system.total_volume_m3
    fresh = source["tan"].most if "tan" in source else 0.0
    for before in reversed(items[:-1]):
        if (after.on - before.on).days > facts.value("trouble.window_days"):
            return None
        changes = [
            min(1.0, entry.payload.litres / litres)
            for entry in log
            if isinstance(entry.payload, WaterChanged | ToppedUp) and before.at < entry.at <= after.at
        ]
        if not changes:
            continue
        # Above the kit's last step nobody knows how high it was: a quarter over it is reckoned with.
        start = before.most if before.high is not None else 1.25 * before.least
        if start <= facts.value("start.clear_below"):
            return None
        left, expected = 1.0, start
        for part in changes:
            left *= 1.0 - part
            expected = expected * (1.0 - part) + fresh * part
        margin = facts.value("trouble.hidden_margin")
        producing = after.least > max(expected * margin, facts.value("start.clear_below"))
        return Hidden(start, after.least, expected, left, len(changes), producing)
    return None
