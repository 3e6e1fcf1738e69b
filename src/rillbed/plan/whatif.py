"""A change of plan: the same members run twice, as planned and as changed, and the difference with its own range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed.engine import Forecast, Future
from rillbed.engine.future import Pause
from rillbed.fit import Posterior, forecast
from rillbed.garden.change import Change
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.ahead import fitted, rules_ahead
from rillbed.plan.bands import Band
from rillbed.plan.members import band, share

Floats = NDArray[np.float64]
WEEK = 7
# A member counts as higher or lower from a part in two hundred on: less would be told as a change that nobody can read.
TOLD = 0.005
# Column -> unit; in the order of safety.
COLUMNS = {
    "o2_min_mg_l": "mg/L",
    "tan_mg_l": "mg/L",
    "no2_mg_l": "mg/L",
    "ph": "",
    "temp_c": "degC",
    "no3_mg_l": "mg/L",
    "k_mg_l": "mg/L",
    "fish_count": "",
    "fish_weight_g": "g",
    "fish_biomass_g": "g",
    "feed_g_day": "g/day",
    "plant_area_m2": "m2",
    "topup_l_day": "L/day",
}
# The worst of these counts, not their end: lowest oxygen and pH, highest ammonia and nitrite.
WORST = {"o2_min_mg_l": "low", "tan_mg_l": "high", "no2_mg_l": "high", "ph": "low"}
# What is added up over the whole time.
SUMMED = ("feed_g_day", "topup_l_day", "n_plants")


@dataclass(frozen=True)
class Week:
    """One day of both futures: their ranges, and the range of the difference between them, changed less planned."""

    on: date
    planned: Band
    changed: Band
    difference: Band


@dataclass(frozen=True)
class Effect:
    """One figure that sums the time up.

    Attributes
    ----------
    column : str
        See `COLUMNS`.
    what : str
        ``worst`` for the worst day, ``total`` for the sum, ``end`` for the last day.
    unit : str
        Unit of the figure; a rate that is summed loses its day.
    more, less : float
        Share of the members in which the change makes it larger, and smaller, by a part in two hundred or more.
    """

    column: str
    what: str
    unit: str
    planned: Band
    changed: Band
    difference: Band
    more: float
    less: float


@dataclass(frozen=True)
class Comparison:
    """Two futures of the same members."""

    on: date
    name: str
    members: int
    days: int
    effects: tuple[Effect, ...]
    weeks: dict[str, tuple[Week, ...]]
    stops: tuple[str, str]
    basis: str
    digests: tuple[str, str]
    notes: tuple[Reason, ...]


def compare(
    system: System,
    entries: Sequence[LogEntry],
    change: Change,
    on: date,
    *,
    posterior: Posterior | None = None,
    horizon_days: int = 182,
    members: int = 200,
    seed: int | None = None,
) -> Comparison:
    """Run the members twice over what is planned and what is thought about.

    Parameters
    ----------
    system, entries
        The loop and its log.
    change : Change
        What would be different after ``on``.
    on : date
        Last day of the log that counts.
    posterior : Posterior, optional
        A fit of this loop; made here if left out.
    horizon_days : int
        Days to look ahead, from 7.
    members : int
        Members to run; each has the same luck in both futures.

    Raises
    ------
    GardenError
        For a change that is over, or that this loop cannot take.
    ValueError
        For a horizon of less than a week, and as `fit.forecast`.
    """
    if horizon_days < WEEK:
        raise ValueError(f"horizon_days: {horizon_days} is too short; allowed from {WEEK}")
    if posterior is None:
        posterior = fitted(system, entries, on=on, members=members, seed=seed)
    rules = rules_ahead(system, entries, on)
    other = changed_rules(rules, change, system_at(system, entries, on), on)
    planned, changed = (
        forecast(system, entries, on=on, horizon_days=horizon_days, members=members, future=future, posterior=posterior)
        for future in (rules, other)
    )
    shown = [name for name in COLUMNS if _alive(planned, name) or _alive(changed, name)]
    first = planned.index(on)
    return Comparison(
        on=on,
        name=change.name,
        members=members,
        days=horizon_days,
        effects=tuple(_effect(planned, changed, name, first) for name in shown),
        weeks={
            name: tuple(_week(planned, changed, name, day) for day in _days(planned, changed, name, first))
            for name in shown
        },
        stops=(planned.stop, changed.stop),
        basis="prior" if not posterior.evidence.looks else "log",
        digests=(planned.digest, changed.digest),
        notes=(_rests_on(posterior),),
    )


def changed_rules(rules: Future, change: Change, standing: System, on: date) -> Future:
    """Rules of a future with the change in it; ``standing`` is the loop as it is on ``on``.

    Days away that are asked about take the place of what the log has planned for them.
    """
    pauses = tuple(Pause(one.first, one.last, one.feed_share) for one in change.away)
    known = list(rules.pauses)
    for one in change.away:
        known = [part for pause in known for part in _around(pause, one.first, one.last)]
    future = replace(rules, planned=change.entries(standing, on), pauses=(*known, *pauses))
    if change.feed_share is not None and change.on is not None:
        late = Pause(change.on, date(9999, 1, 1), change.feed_share)
        future = replace(future, pauses=(*future.pauses, late))
    elif change.feed_share is not None:
        future = replace(future, feed_share=change.feed_share)
    return future if change.feed_g_day is None else replace(future, feed_g_day=change.feed_g_day)


def _around(pause: Pause, first: date, last: date) -> list[Pause]:
    """Give what is left of a pause before and after some days."""
    before = replace(pause, last=min(pause.last, first - timedelta(days=1)))
    after = replace(pause, first=max(pause.first, last + timedelta(days=1)))
    return [part for part in (before, after) if part.first <= part.last]


def _rests_on(posterior: Posterior) -> Reason:
    count = len(posterior.evidence.answers) + len(posterior.evidence.living)
    return Reason("note.log", {"count": count}) if count else Reason("note.prior")


def _days(planned: Forecast, changed: Forecast, name: str, first: int) -> list[int]:
    """Days to show: one a week, and of what counts at its worst also the day that differs most, between its neighbours.

    Hours without air fall between two weeks.
    """
    last = planned.days
    days = set(range(first, last + 1, WEEK))
    if name in WORST:
        apart = np.abs(_values(changed, name) - _values(planned, name))[first : last + 1] @ planned.weights
        most = first + int(np.argmax(apart))
        days |= {day for day in (most - 1, most, most + 1) if first <= day <= last and apart.any()}
    return sorted(days)


def _values(run: Forecast, name: str) -> Floats:
    """Column as numbers; fish that are not there weigh nothing."""
    return np.nan_to_num(run.columns[name].astype(np.float64))


def _alive(run: Forecast, name: str) -> bool:
    return bool(np.any(_values(run, name)[run.index(run.on) :]))


def _week(planned: Forecast, changed: Forecast, name: str, day: int) -> Week:
    a, b = _values(planned, name)[day], _values(changed, name)[day]
    w = planned.weights
    return Week(planned.start + timedelta(days=day), band(a, w), band(b, w), band(b - a, w))


def _effect(planned: Forecast, changed: Forecast, name: str, first: int) -> Effect:
    what = "worst" if name in WORST else "total" if name in SUMMED else "end"
    a, b = (_figure(_values(run, name)[first + 1 :], name, what) for run in (planned, changed))
    w = planned.weights
    unit = COLUMNS[name].removesuffix("/day") if what == "total" else COLUMNS[name]
    least = TOLD * np.abs(a)
    return Effect(
        name, what, unit, band(a, w), band(b, w), band(b - a, w), share(b > a + least, w), share(b < a - least, w)
    )


def _figure(rows: Floats, name: str, what: str) -> Floats:
    if what == "worst":
        return np.asarray(rows.min(axis=0) if WORST[name] == "low" else rows.max(axis=0))
    return np.asarray(rows.sum(axis=0) if what == "total" else rows[-1])
