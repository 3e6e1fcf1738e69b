"""Running the members with the rules this program itself would advise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from rillbed import facts
from rillbed.engine import MODEL_VERSION, Arrival, Forecast, Future, forecast
from rillbed.engine.run import full_load_mg_l
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import doses, until
from rillbed.plan.rules import CLEAR_MG_L, HOLD_NO2_MG_L, REFILL_BELOW_MG_L, REFILL_TO_MG_L

__all__ = ["MODEL_VERSION", "SALTS", "ahead", "alkalinity_marks", "startup_future"]

# Sources whose ammonia comes with an acid anion; all others take up the first proton themselves.
SALTS = frozenset({"ammonium_chloride", "ammonium_sulfate"})


def startup_future(system: System, on: date) -> Future:
    """Rules for the days after the log: refill and hold while fishless, alkalinity kept, planned fish arrive."""
    fish = tuple(
        Arrival(item.species, item.count, item.weight_g, item.on)
        for item in system.planned_fish
        if item.on is not None and item.on > on
    )
    growing = system.startup_path == "fishless" and system.ammonia_source is not None
    floor, target = alkalinity_marks(starting=growing)
    kept = Future(
        base_floor_meq_l=floor, base_target_meq_l=target, base_ph_step=facts.value("dosing.ph_step"), fish=fish
    )
    if system.startup_path != "fishless" or system.ammonia_source is None:
        return kept
    return replace(
        kept,
        refill_to_mg_l=REFILL_TO_MG_L,
        refill_below_mg_l=REFILL_BELOW_MG_L,
        hold_no2_mg_l=HOLD_NO2_MG_L,
        refill_salt=system.ammonia_source.source in SALTS,
        refill_bound_share=bound_share(system.ammonia_source.source),
        full_load_mg_l=full_load_mg_l(system),
        clear_mg_l=CLEAR_MG_L,
    )


def alkalinity_marks(*, starting: bool) -> tuple[float, float]:
    """Alkalinity under which base is given, and up to where, meq/L."""
    when = "start" if starting else "run"
    return facts.value(f"{when}.base_floor_meq_l"), facts.value(f"{when}.base_target_meq_l")


def bound_share(source: str) -> float:
    """Part of a source's nitrogen that comes free only over days."""
    return 1.0 - facts.ammonia_sources()[source].at_once_share


def took_ammonia(system: System, log: Sequence[LogEntry]) -> bool:
    """Whether a source that needs no breaking down was ever dosed."""
    table = facts.ammonia_sources()
    given = {item.substance for _, item in doses(system, log)} & set(table)
    return any(table[source].at_once_share >= 1.0 for source in given)


def ahead(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    members: int = 200,
    seed: int | None = None,
) -> Forecast:
    """Forecast under the rules of `startup_future`; a log with ammonia in it goes on with ammonia."""
    future = startup_future(system, on)
    if future.refill_bound_share and took_ammonia(system, until(system, entries, on)):
        future = replace(future, refill_bound_share=0.0)
    return forecast(
        system,
        entries,
        on=on,
        horizon_days=horizon_days,
        members=members,
        seed=seed,
        future=future,
    )
