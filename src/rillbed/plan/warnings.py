"""What must not wait: oxygen, toxic nitrogen and falling pH, from the worst value a reading allows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency
from rillbed.plan.due import RETEST_DAYS
from rillbed.plan.feeding import why_over
from rillbed.plan.limits import over_limit, oxygen_needed_mg_l
from rillbed.plan.look import latest
from rillbed.plan.members import quantile

AHEAD_DAYS = 7
# Who reads too high a figure reaches for fresh water.
CHANGING = ("chlorine.first",)
PH_LOW = facts.value("plan.ph_low")
PH_STEP = facts.value("dosing.ph_step")


def water_warnings(
    system: System, log: Sequence[LogEntry], state: LoopState, forecast: Forecast, on: date
) -> list[Advice]:
    """Warnings for the fish in the loop and for the bacteria; none about fish where there are none."""
    return [*_fish_warnings(system, log, state, forecast, on), *_ph(system, log)]


def _fish_warnings(
    system: System, log: Sequence[LogEntry], state: LoopState, forecast: Forecast, on: date
) -> list[Advice]:
    kinds = {group.species for group in state.groups.values() if group.count > 0}
    if not kinds:
        return []
    needed = oxygen_needed_mg_l(sorted(kinds))
    out = []
    first = forecast.index(on)
    for step in range(min(AHEAD_DAYS, forecast.days - first) + 1):
        # One member in ten at dawn is enough to say so; the members may only make it stricter.
        low = quantile(forecast.columns["o2_min_mg_l"][first + step], forecast.weights, 0.1)
        if low < needed:
            day = (on + timedelta(days=step)).isoformat()
            why = Reason("warn.o2", {"low": low, "on": day, "limit": needed})
            out.append(Advice("warn.oxygen", "warn", reasons=(why,), cautions=("electricity",), urgency=Urgency.OXYGEN))
            break
    over = over_limit(system, log, kinds)
    for quantity, code in (("tan", "warn.tan"), ("no2", "warn.nitrite")):
        if quantity in over:
            why = why_over(system, log, quantity, sorted(kinds))
            again = Reason("warn.again", {"days": RETEST_DAYS})
            out.append(Advice(code, "warn", reasons=(why, again), cautions=CHANGING, urgency=Urgency.TOXIC_NITROGEN))
    return out


def _ph(system: System, log: Sequence[LogEntry]) -> list[Advice]:
    seen = latest(system, log, "ph")
    if seen is None or seen.worst_low >= PH_LOW or seen.low is None:
        return []
    why = Reason("warn.ph", {"low": seen.low, "high": seen.high, "limit": PH_LOW})
    step = Reason("warn.step", {"cap": PH_STEP})
    return [Advice("warn.ph_low", "warn", reasons=(why, step), cautions=("trouble.one_base",), urgency=Urgency.PH_RATE)]
