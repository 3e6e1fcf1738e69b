"""What a start-up page says beyond the dose: the next test, fish or not, feed carried now, and why it stands still."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.fit import Posterior
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.bands import Band
from rillbed.plan.carry import Carried, carried
from rillbed.plan.members import band
from rillbed.plan.stalled import Stalled, stalled

TESTED = {"tan": "tan_mg_l", "no2": "no2_mg_l", "no3": "no3_mg_l", "ph": "ph"}


@dataclass(frozen=True)
class Expected:
    """What a test on a day should read, canonical unit."""

    quantity: str
    on: date
    band: Band


@dataclass(frozen=True)
class Startup:
    """Where a start-up stands.

    Attributes
    ----------
    expected : tuple of Expected
        What the next tests should read if all that is advised is done.
    fish : Reason
        Whether fish may go in.
    carried : Carried
        What the bacteria carry now.
    stalled : Stalled
        Whether they grow, and if not, why.
    """

    expected: tuple[Expected, ...]
    fish: Reason
    carried: Carried
    stalled: Stalled


def startup(
    system: System,
    log: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    stage: str,
    fish: bool,
    cycled: float | None = None,
    posterior: Posterior | None = None,
) -> Startup:
    """Say where a start-up stands on a day; `fish`: whether any swim in it, `cycled`: the chance that it is done."""
    carry = carried(forecast, on, system.feed)
    after = int(facts.value("plan.tan_start_days"))
    when = on + timedelta(days=min(after, forecast.days - forecast.index(on)))
    expected = tuple(
        Expected(quantity, when, band(forecast.at(column, when), forecast.weights))
        for quantity, column in TESTED.items()
    )
    return Startup(
        expected=expected,
        fish=_fish(carry, stage, fish, cycled),
        carried=carry,
        stalled=stalled(system, log, forecast, on, posterior),
    )


def _fish(carry: Carried, stage: str, fish: bool, cycled: float | None) -> Reason:
    feed = carry.feed_g_day
    if fish:
        return Reason("fish.in", {"low": feed.low, "high": feed.high})
    if stage == "ready":
        part = facts.value("start.first_fish_share")
        return Reason("fish.ready", {"first_g": part * feed.low, "low": feed.low, "high": feed.high})
    if cycled is None:
        return Reason("fish.not_proved")
    return Reason("fish.not_yet", {"chance": cycled})
