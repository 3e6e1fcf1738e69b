"""From a system and its log to a Forecast."""

import hashlib
from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import happened, pack, priors
from rillbed.engine.cropping import crop_of
from rillbed.engine.future import Arrival, Future, Pause
from rillbed.engine.inputs import Loop
from rillbed.engine.members import already_runs, drawn, running_capacity
from rillbed.engine.result import Array, Forecast
from rillbed.engine.simulate import Run
from rillbed.engine.version import MODEL_VERSION
from rillbed.garden.fold import digest, effective, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.science.feed import sizing_tan_g_day

MAX_DAYS = 5 * 366


def default_future(system: System, start: date, on: date, pauses: tuple[Pause, ...] = ()) -> Future:
    """Rules assumed where nobody says otherwise: refill while fishless, keep alkalinity, planned fish and days away."""
    fishless = system.startup_path == "fishless"
    stage = "start" if fishless else "run"
    fish = tuple(
        Arrival(f.species, f.count, f.weight_g, f.on) for f in system.planned_fish if f.on is not None and f.on > on
    )
    return Future(
        refill_to_mg_l=facts.value("start.refill_to") if fishless else None,
        full_load_mg_l=full_load_mg_l(system),
        base_floor_meq_l=facts.choice(f"{stage}.base_floor_meq_l"),
        base_target_meq_l=facts.choice(f"{stage}.base_target_meq_l"),
        fish=fish,
        pauses=pauses,
    )


def full_load_mg_l(system: System) -> float:
    """Dose that certifies a start-up for the planned feed, mg/L as N.

    What the feed makes in a day, and the mark under which ammonia counts as gone on top of it: else a dose no larger
    than that mark would prove nothing. At most what can be dosed at once without holding up the second step; the usual
    refill where no feed is planned.
    """
    if not system.planned_feed_g_day:
        return facts.value("start.refill_to")
    grams = float(sizing_tan_g_day(system.planned_feed_g_day, pack.feed_of(system.feed).protein))
    made = grams / system.total_volume_m3 + facts.value("start.clear_below")
    return min(made, facts.value("start.largest_dose_high_ph"))


def start_of(system: System, entries: Iterable[LogEntry], on: date) -> date:
    """Day a loop was set up, as the log until `on` has it."""
    return min(system.started_on, system_at(system, effective(entries), on).started_on)


def days_of(start: date, on: date, horizon_days: int) -> int:
    """Count the days of a run from the loop's start to the horizon beyond `on`.

    Raises
    ------
    ValueError
        For a day before the start, or a run that is too long.
    """
    if on < start:
        raise ValueError(f"on: {on} is before the loop's start; allowed from {start}")
    if not 0 <= horizon_days <= MAX_DAYS:
        raise ValueError(f"horizon_days: {horizon_days} is not possible; allowed 0 to {MAX_DAYS}")
    days = (on - start).days + horizon_days
    if days > MAX_DAYS:
        last = start + timedelta(days=MAX_DAYS - horizon_days)
        raise ValueError(
            f"on: {on} is too long after the loop's start; allowed to {last} with {horizon_days} days ahead"
        )
    return days


def forecast(
    system: System,
    entries: Iterable[LogEntry],
    *,
    on: date,
    horizon_days: int = 365,
    members: int = 200,
    seed: int | None = None,
    future: Future | None = None,
    steps_per_day: int = 24,
    first_member: int = 0,
) -> Forecast:
    """Run the loop from the start of its log to `on` plus the horizon.

    Parameters
    ----------
    system : System
        The loop as first set up; the last set-up entry until `on` replaces it.
    entries : iterable of LogEntry
        The log in any order; corrections are resolved here.
    on : date
        Last day the log is used; on it and after it `future` acts where the log is silent.
    horizon_days : int
        Days beyond `on`, 0 or more.
    members : int
        Plausible loops drawn from the prior, 1 or more.
    seed : int, optional
        Default: from the loop's name, its start and the model version.
    future : Future, optional
        Default: refill while fishless, alkalinity kept, planned fish arrive on their day.
    steps_per_day : int
        24 for use; more to refine.
    first_member : int
        Number of the first member, 0 or more: an ensemble may be computed in chunks, each member the same in any.

    Raises
    ------
    ValueError
        For a day before the start, no members, or a run that is too long.
    """
    given, name = effective(entries), system.name
    now = system_at(system, given, on)
    start = min(system.started_on, now.started_on)
    first = system_at(system, given, start)
    events = [e for e in given if now.day_of(e.at) <= on]
    if members < 1:
        raise ValueError(f"members: {members} is too few; allowed from 1")
    if first_member < 0:
        raise ValueError(f"first_member: {first_member} is not possible; allowed from 0")
    days = days_of(start, on, horizon_days)
    away = happened.pauses_of(events)
    future = future or default_future(now, start, on, away)
    seed = priors.loop_seed(name, start.isoformat()) if seed is None else seed

    def stands(as_set_up: System) -> tuple[Loop, dict[str, Array]]:
        return drawn(as_set_up, seed, members, first_member)

    loop, params = stands(first)
    jumps = happened.events_of(first, events, start, on, stands)
    jumps += happened.events_to_come(now, future.planned, start, on, start + timedelta(days=days), stands)
    if already_runs(first):
        params["cap_a0"] = running_capacity(params)
    species = {e.name for e in jumps if e.kind == "fish_in"} | {a.species for a in future.fish}
    crops = {e.name for e in jumps if e.kind == "plant"} | {s.crop for s in future.plantings}
    run = Run(
        loop, params, start=start, days=days + 1, free_from=(on - start).days, events=jumps, future=future,
        species={s: pack.fish_of(s) for s in species}, crops={c: crop_of(c) for c in crops},
        steps_per_day=steps_per_day, away=away,
    )  # fmt: skip
    for d in range(days + 1):
        run.day(d)
    who = f"{seed}|{first_member}+{members}|{steps_per_day}"
    story = f"{MODEL_VERSION}|{system.model_dump_json()}|{digest(events)}|{who}|{future}|{on}|{horizon_days}"
    return Forecast(
        start=start, on=on, days=days, members=members, weights=np.full(members, 1.0 / members), columns=run.columns,
        completion=run.completion, params=params, stop=stop_reason(run, horizon_days), ledger=run.books.worst,
        booked=run.booked, first_g=run.books.first,
        digest=hashlib.sha256(story.encode()).hexdigest(), notes=pack.assumed(now),
    )  # fmt: skip


def stop_reason(run: Run, horizon_days: int) -> str:
    """Say in words why the run ended."""
    worst = max(float(np.max(v)) for v in run.books.worst.values())
    if not all(np.isfinite(run.y).ravel()):
        return "stopped: a state is no longer a number"
    if worst > 1e-6:
        return f"reached the horizon of {horizon_days} days, but a balance is open by {worst:.1g} of its turnover"
    return f"reached the horizon of {horizon_days} days with every balance closed"
