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
from rillbed.plan.feeding import NO2_N_SHARE
from rillbed.plan.look import latest
from rillbed.plan.members import quantile

AHEAD_DAYS = 7
PH_LOW = 6.4
PH_STEP = 0.2


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
    table = facts.species()
    out = []
    o2_limit = max(table[kind].do_min_mg_l for kind in kinds)
    first = forecast.index(on)
    for step in range(min(AHEAD_DAYS, forecast.days - first) + 1):
        # One member in ten at dawn is enough to say so; the members may only make it stricter.
        low = quantile(forecast.columns["o2_min_mg_l"][first + step], forecast.weights, 0.1)
        if low < o2_limit:
            day = (on + timedelta(days=step)).isoformat()
            why = Reason("warn.o2", {"low": low, "on": day, "limit": o2_limit})
            out.append(Advice("warn.oxygen", "warn", reasons=(why,), cautions=("electricity",), urgency=Urgency.OXYGEN))
            break
    limits = {
        "tan": min(table[kind].tan_max_mg_l for kind in kinds),
        "no2": min(table[kind].nitrite_max_mg_l for kind in kinds) * NO2_N_SHARE,
    }
    for quantity, code in (("tan", "warn.tan"), ("no2", "warn.nitrite")):
        seen = latest(system, log, quantity)
        if seen is not None and seen.worst_high > limits[quantity] and seen.worst_low > 0.0:
            value = seen.high if seen.high is not None else seen.low
            why = Reason("warn.worst", {"value": value, "limit": limits[quantity], "what": "species table"})
            out.append(Advice(code, "warn", reasons=(why,), urgency=Urgency.TOXIC_NITROGEN))
    return out


def _ph(system: System, log: Sequence[LogEntry]) -> list[Advice]:
    seen = latest(system, log, "ph")
    if seen is None or seen.worst_low >= PH_LOW or seen.low is None:
        return []
    why = Reason("warn.ph", {"low": seen.low, "high": seen.high, "limit": PH_LOW})
    step = Reason("warn.step", {"cap": PH_STEP})
    return [Advice("warn.ph_low", "warn", reasons=(why, step), urgency=Urgency.PH_RATE)]
