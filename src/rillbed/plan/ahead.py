"""Fitting the members to the log, and running them with the rules this program itself would advise."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from rillbed import facts
from rillbed.engine import MODEL_VERSION, Arrival, Forecast, Future
from rillbed.engine.happened import pauses_of
from rillbed.engine.run import full_load_mg_l
from rillbed.fit import Posterior, fit, forecast
from rillbed.fit.evidence import evidence_of
from rillbed.fit.refit import Budget
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import doses, until
from rillbed.plan.rules import CLEAR_MG_L, HOLD_NO2_MG_L, REFILL_BELOW_MG_L, REFILL_TO_MG_L

__all__ = [
    "MODEL_VERSION",
    "SALTS",
    "Budget",
    "Forecast",
    "Posterior",
    "ahead",
    "alkalinity_marks",
    "fitted",
    "rules_ahead",
    "startup_future",
    "unfitted",
]

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


def rules_ahead(system: System, entries: Sequence[LogEntry], on: date) -> Future:
    """Rules of `startup_future`, with the days away that the log knows; one with ammonia in it goes on with it."""
    log = until(system, entries, on)
    future = replace(startup_future(system, on), pauses=pauses_of(log))
    if future.refill_bound_share and took_ammonia(system, log):
        future = replace(future, refill_bound_share=0.0)
    return future


def fitted(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    members: int = 200,
    seed: int | None = None,
    budget: Budget = "full",
    previous: Posterior | None = None,
    progress: Callable[[float], None] | None = None,
) -> Posterior:
    """Members that the log believes on a day; without readings they are those of general knowledge.

    Parameters
    ----------
    system, entries, on
        The loop, its log, and the last day of it that counts.
    members : int
        Members wanted; fewer than two cannot be told apart.
    seed : int, optional
        Other draws than the loop's own.
    budget : "full" or "quick"
        The whole fit, or a first answer; the first answer may start from `previous`, a fit of an earlier log.
    progress : callable, optional
        Called with the share of the work done.
    """
    return fit(
        system, entries, on=on, members=max(members, 2), seed=seed, budget=budget, previous=previous, progress=progress
    )


def unfitted(system: System, entries: Sequence[LogEntry], *, on: date, members: int = 200) -> Posterior:
    """Members of general knowledge alone, for a log whose readings nobody has had time to work in."""
    setting = Setting.of(system, list(entries), on)
    evidence = evidence_of(setting, frozenset())
    return Posterior.of_prior(setting, evidence, setting.coordinates(evidence.nuisances), members)


def ahead(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    members: int = 200,
    seed: int | None = None,
    posterior: Posterior | None = None,
    budget: Budget = "full",
) -> Forecast:
    """Forecast by the members that the log believes, under `rules_ahead`; fitted here unless a fit is given."""
    if posterior is None:
        posterior = fitted(system, entries, on=on, members=members, seed=seed, budget=budget)
    return forecast(
        system,
        entries,
        on=on,
        horizon_days=horizon_days,
        members=members,
        future=rules_ahead(system, entries, on),
        posterior=posterior,
    )
