"""What a log has taught, in plain records: directions, questions about odd readings, and what would sharpen it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from rillbed.engine import Forecast
from rillbed.fit import Posterior
from rillbed.fit.cycled import cycled
from rillbed.garden.chains import effective
from rillbed.garden.log import LogEntry
from rillbed.plan.advice import Reason
from rillbed.plan.trust import NOTHING, Trust, trust

SHARPENED_DAYS = 28
BASIS_NOTES = ("note.prior", "note.log", "note.quick", "note.unread", "note.before")
CONFIRMED = "reading.confirmed"
"""Observation that a reading was right, with its key as the text; it is not asked about again."""


@dataclass(frozen=True)
class Taught:
    """One learned combination: the names in it, its spread over the one before the log, and its shift in those."""

    names: tuple[str, ...]
    spread: float
    shift: float


@dataclass(frozen=True)
class Question:
    """Readings of one moment that nothing foresaw.

    Attributes
    ----------
    entries : tuple of str
        Keys of the readings.
    low, high : float
        8 futures in 10 lay between these beforehand, canonical unit of the quantity.
    misread : float
        Probability that it was misread, against `event`.
    event : str
        ``water_left`` or ``more_came_in``.
    size : float
        Share of the water, or what came in, in the unit of the quantity.
    litres : float
        Water that would have left; 0 for the other event.
    ask : bool
        Whether the odds are even enough to ask somebody.
    """

    entries: tuple[str, ...]
    on: date
    quantity: str
    low: float
    high: float
    misread: float
    event: str
    size: float
    litres: float
    ask: bool


@dataclass(frozen=True)
class Wanted:
    """One act that would sharpen the forecast, and the share of its variance that lies in what the act teaches."""

    act: str
    share: float


@dataclass(frozen=True)
class Learned:
    """What stands behind a forecast.

    Attributes
    ----------
    basis : str
        ``prior`` without readings, ``quick`` for a first answer, ``log`` for the whole fit; ``unread`` and
        ``before`` for members that do not know the log, or not its last entries.
    readings : int
        Pieces of evidence in the log: readings, weighings, deaths and the like.
    reached : float
        Share of the log's weight that was taken in, 0 to 1.
    effective : float
        Points that the members stand for.
    cycled : float or None
        Probability that the full load would be turned over in a day; None where it was not asked.
    """

    basis: str
    readings: int
    reached: float
    effective: float
    taught: tuple[Taught, ...] = ()
    questions: tuple[Question, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    cycled: float | None = None
    trust: Trust = NOTHING


def learned(
    posterior: Posterior,
    forecast: Forecast,
    *,
    quick: bool = False,
    starting: bool = False,
    log: Sequence[LogEntry] = (),
) -> Learned:
    """Put together what the fit says of itself.

    Parameters
    ----------
    posterior, forecast
        A fit, and the forecast by its members.
    quick : bool
        Whether it is a first answer; its questions and directions wait for the whole fit.
    starting : bool
        Whether the bacteria are being grown: asks how sure they are, and sharpens the day they are ready.
    log : sequence of LogEntry
        Where readings were confirmed.
    """
    evidence = posterior.evidence
    count = len(evidence.answers) + len(evidence.living)
    sure = cycled(posterior, min(posterior.members, 200)) if starting else None
    if not count:
        return Learned("prior", 0, 1.0, posterior.effective, wanted=_wanted(posterior, forecast, starting), cycled=sure)
    if quick:
        return Learned("quick", count, posterior.reached, posterior.effective, cycled=sure)
    return Learned(
        "log",
        count,
        posterior.reached,
        posterior.effective,
        taught=tuple(Taught(_bare(name for name, _ in d.loads), d.spread, d.shift) for d in posterior.directions),
        questions=_questions(posterior, forecast, confirmed(log)),
        wanted=_wanted(posterior, forecast, starting),
        cycled=sure,
        trust=trust(posterior),
    )


def basis_note(known: Learned | None) -> Reason:
    """Say what the ranges rest on."""
    if known is None or known.basis == "prior":
        return Reason("note.prior")
    return Reason(f"note.{known.basis}", {"count": known.readings})


def confirmed(log: Sequence[LogEntry]) -> frozenset[str]:
    """Keys of the readings that somebody said were right."""
    told = [entry.payload for entry in effective(log) if entry.kind == "observation"]
    return frozenset(str(getattr(one, "text", "")) for one in told if getattr(one, "what", "") == CONFIRMED)


def _bare(names: object) -> tuple[str, ...]:
    """Names without the month of a path, each once."""
    assert hasattr(names, "__iter__")
    return tuple(dict.fromkeys(str(name).split(".")[0] for name in names))


def _questions(posterior: Posterior, forecast: Forecast, told: frozenset[str]) -> tuple[Question, ...]:
    found = []
    for one in posterior.held_out:
        keys = tuple(str(key) for key in one.entries)
        if told.issuperset(keys):
            continue
        volume = float(np.median(forecast.columns["volume_m3"][min(one.day, forecast.days)]))
        litres = 1000.0 * volume * one.size if one.event == "water_left" else 0.0
        on = posterior.setting.start + timedelta(days=one.day)
        found.append(
            Question(keys, on, one.quantity, one.low, one.high, one.misread, one.event, one.size, litres, one.ask)
        )
    return tuple(found)


def _wanted(posterior: Posterior, forecast: Forecast, starting: bool) -> tuple[Wanted, ...]:
    outcome = None
    last = forecast.index(forecast.on) + SHARPENED_DAYS
    if posterior.members == forecast.members and last <= forecast.days:
        soon = forecast.columns["no3_mg_l"][last].astype(np.float64)
        ready = np.where(np.isnan(forecast.completion), forecast.days, forecast.completion)
        outcome = ready if starting else soon
    return tuple(Wanted(one.act, one.share) for one in posterior.sharpen(outcome))
