"""The verdict: every band of a day, contradictions, and what should be read or asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from rillbed.engine import Forecast
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import until
from rillbed.plan.verdict import basics, carbon, nitrogen
from rillbed.plan.verdict.bands import ORDER, Band, Verdict
from rillbed.plan.verdict.contradictions import contradictions
from rillbed.plan.verdict.waters import Waters, missing, waters
from rillbed.plan.verdict.who import who

MAKERS: tuple[Callable[[Waters], Band | None], ...] = (
    basics.oxygen, basics.chlorine_any, basics.chloramine, nitrogen.unionized, nitrogen.nitrite, carbon.carbon_dioxide,
    carbon.ph_rate, basics.temperature, carbon.ph, nitrogen.total, carbon.alkalinity, nitrogen.nitrate, basics.hardness,
    basics.conductivity,
)  # fmt: skip
# What a grower can read that a verdict on safety hangs on, the most telling first.
WANTED = ("oxygen", "tan", "ph", "no2", "temperature", "alkalinity", "cl")
# Fish at the surface: oxygen nobody read may be anything down to nothing.
GASPING = "gasping"
LUKEWARM_C = 20.0


def judge(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast | None = None,
    *,
    on: date,
    facts_seen: Sequence[str] = (),
) -> Verdict:
    """Judge the water of one day from whatever is known.

    Parameters
    ----------
    system : System
        The loop until the first set_up entry.
    entries : sequence of LogEntry
        The log, any order; later entries than ``on`` are left aside.
    forecast : Forecast, optional
        Members speak where a reading is missing or stale, and may make a verdict stricter; never milder.
    on : date
        Day to judge.
    facts_seen : sequence of str
        Codes of what was seen (``gasping``, ...).

    Returns
    -------
    Verdict

    Raises
    ------
    GardenError
        If the log contradicts itself: more dead fish than there were, ...
    """
    log = until(system, entries, on)
    system = system_at(system, log, on)
    gasping = {"oxygen": (0.0, basics.saturation_mg_l(system, LUKEWARM_C))} if GASPING in facts_seen else {}
    found = waters(system, who(system, state_at(system, log, on)), log, forecast, on, gasping)
    bands = [item for make in MAKERS if (item := make(found)) is not None]
    unknown = tuple(
        quantity for quantity, items in sorted(found.history.items()) if items[-1].fresh and items[-1].ion is not None
    )
    return Verdict(
        on,
        tuple(sorted(bands, key=lambda item: ORDER.index(item.code))),
        contradictions(found),
        unknown,
        missing(found, WANTED),
    )
