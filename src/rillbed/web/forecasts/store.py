"""Working out what a loop's pages show, once for each state of its log, and finding it again."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial

from django.db.models import Max, QuerySet

from rillbed import __version__
from rillbed.garden.chains import digest
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.plan.ahead import MODEL_VERSION, Budget, Posterior, unfitted
from rillbed.plan.answered import answered
from rillbed.plan.answers import Today
from rillbed.plan.carry import Carried, carried
from rillbed.plan.fish import Fish, fish
from rillbed.plan.outlook import Outlook, outlook
from rillbed.plan.today import today
from rillbed.tongue import later, tr
from rillbed.web import bridge, clock
from rillbed.web.forecasts import ahead, calls, fits, jobs
from rillbed.web.forecasts.codec import freeze, thaw
from rillbed.web.forecasts.models import StoredForecast
from rillbed.web.log.models import LogRow, Loop

MEMBERS = 200
QUICK_MEMBERS = 100
SHORT_DAYS = 60
BACK_DAYS = 56
EVERY_DAYS = 4
KEPT = 20


@dataclass(frozen=True)
class Answer:
    """What the pages show, and how old it is.

    Attributes
    ----------
    today, outlook : Today, Outlook or None
        None while nothing was worked out yet, or if it failed.
    made_at : datetime or None
        When it was worked out.
    fresh : bool
        Whether it is of today, knows every entry, and is the full answer.
    quick : bool
        Whether it is of today and knows every entry, but is a first answer.
    problem : str
        Why it failed, if it did.
    mark : str
        Names the state of the log it was made from.
    carried : Carried or None
        What the bacteria can carry.
    fish : Fish or None
        How the fish stand and where they go.
    """

    today: Today | None
    outlook: Outlook | None
    made_at: datetime | None
    fresh: bool
    problem: str = ""
    mark: str = ""
    carried: Carried | None = None
    quick: bool = False
    fish: Fish | None = None


class Overtaken(jobs.GiveWay):
    """The log has grown while its fit was being worked out: a first answer to the new entry comes before."""


_fits: dict[int, Posterior] = {}  # last whole fit of each loop, with all its points: where a first answer starts
_upto: dict[int, int] = {}  # and how far it had read


def last_row(loop: Loop) -> int:
    """Key of the last row of a loop's log, 0 for an empty one."""
    return LogRow.objects.filter(loop=loop).aggregate(last=Max("pk"))["last"] or 0


def made_with(budget: Budget = "full") -> str:
    """Name what works the answers out: another program, model or number of members gives other answers."""
    return f"{__version__}|model {MODEL_VERSION}|{MEMBERS}" + ("" if budget == "full" else f"|{budget}")


def mark(loop: Loop, on: date, budget: Budget = "full") -> str:
    """Name the state of a loop that an answer is for."""
    return f"{on}|{last_row(loop)}|{made_with(budget)}"


def is_fresh(loop: Loop, on: date) -> bool:
    """Whether a full forecast is for this day, knows the whole log and was made by this program and model."""
    return _now(loop, on).exists()


def has_first(loop: Loop, on: date) -> bool:
    """Whether there is at least a first answer for this day and the whole log."""
    return is_fresh(loop, on) or _now(loop, on, "quick").exists()


def _now(loop: Loop, on: date, budget: Budget = "full") -> QuerySet[StoredForecast]:
    return StoredForecast.objects.filter(loop=loop, on=on, upto=last_row(loop), made_with=made_with(budget))


def latest(loop: Loop, on: date) -> Answer:
    """Return the newest usable answer; an older one than the log is returned as not fresh."""
    newest = _now(loop, on).first()
    first = None if newest is not None else _now(loop, on, "quick").first()
    row = newest or first
    if row is None or row.answer is None:
        row = StoredForecast.objects.filter(loop=loop, on__lte=on, answer__isnull=False).first()
    problem = tr(newest.problem) if newest is not None else ""  # stored in English by whoever worked it out
    if row is None or row.answer is None:
        return Answer(None, None, None, newest is not None, problem)
    try:
        parts = thaw(Today, row.answer["today"]), thaw(Outlook, row.answer["outlook"])
        carry, shoals = thaw(Carried, row.answer["carried"]), thaw(Fish, row.answer["fish"])
    except (KeyError, TypeError, ValueError):
        # Written by another version: as good as none.
        StoredForecast.objects.filter(pk=row.pk).delete()
        return Answer(None, None, None, False)
    fresh = newest is not None and not problem
    quick = first is not None and row == first
    return Answer(*parts, row.made_at, fresh, problem, f"{row.pk} {row.upto}", carry, quick, shoals)


def work_out(loop: Loop, on: date, budget: Budget = "full") -> None:
    """Store the answer for the log as it is now; a log with the same effect is not run again.

    Raises
    ------
    Overtaken
        If the log grew while the whole fit was worked out; nothing is stored then.
    """
    upto = last_row(loop)
    log = bridge.entries(loop, upto=upto)
    story = f"{made_with(budget)}|{on}|{loop.pk}|{digest(log)}"
    key = hashlib.sha256(story.encode()).hexdigest()
    if StoredForecast.objects.filter(loop=loop, key=key).update(upto=upto):
        return
    values: dict[str, object] = {"on": on, "upto": upto, "made_at": clock.now()}
    values["made_with"] = made_with(budget)
    kept: list[Callable[[], None]] = []
    try:
        values["answer"] = _answer(loop, log, on, upto, budget, kept)
    except jobs.GiveWay:
        raise
    except ValueError as error:
        values["problem"] = " ".join(str(error).split())
    except Exception:
        # Said once on the page and once in the server's log, and not tried again until the log changes.
        logging.getLogger(__name__).exception("forecast failed")
        values["problem"] = later("a fault in the program; the server's log has the details")
    with jobs.storing():
        for keep in kept:
            keep()
        StoredForecast.objects.update_or_create(loop=loop, key=key, defaults=values)
        old = StoredForecast.objects.filter(loop=loop).values_list("pk", flat=True)[KEPT:]
        StoredForecast.objects.filter(pk__in=list(old)).delete()


def give_up(loop: Loop, on: date, budget: Budget = "full") -> None:
    """Say in place of an answer that there will be none for the log as it is."""
    key = hashlib.sha256(f"given up|{loop.pk}|{mark(loop, on, budget)}".encode()).hexdigest()
    values = {"on": on, "upto": last_row(loop), "made_at": clock.now(), "made_with": made_with(budget)}
    values["problem"] = later("it was begun several times and never ended; the server's log has the details")
    StoredForecast.objects.update_or_create(loop=loop, key=key, defaults=values)


def _fit_before(loop: Loop) -> Posterior | None:
    """Last whole fit of a loop: the one of this process, unless another has stored a later one."""
    return _fits.get(loop.pk) if _upto.get(loop.pk, -1) == fits.upto(loop) else fits.last(loop, made_with())


def _keep_fit(loop: Loop, posterior: Posterior, upto: int) -> None:
    fits.keep(loop, posterior, upto, made_with())
    _fits[loop.pk], _upto[loop.pk] = posterior, upto


def _answer(
    loop: Loop, log: Sequence[LogEntry], on: date, upto: int, budget: Budget, kept: list[Callable[[], None]]
) -> dict[str, object]:
    """Work out an answer, and collect what else is to be kept with it."""
    system = bridge.first_system(log)
    if budget == "quick":
        before = _fit_before(loop)
        if (on - system.started_on).days <= SHORT_DAYS:
            ran = answered(system, log, on=on, members=QUICK_MEMBERS, budget="quick", previous=before)
        else:
            # Even a quick fit takes long over a long log: the last one is taken as it is, or none.
            known_by = before or unfitted(system, log, on=on, members=QUICK_MEMBERS)
            basis = "before" if before else "unread"
            ran = answered(system, log, on=on, members=QUICK_MEMBERS, budget="quick", posterior=known_by, basis=basis)
    else:
        ran = answered(system, log, on=on, members=MEMBERS, progress=partial(_still, loop, upto))
        kept.append(partial(_keep_fit, loop, ran.posterior, upto))
    run, known = ran.forecast, ran.known
    kept.append(partial(ahead.keep, loop, run, on, upto, made_with(budget)))
    begin = max(run.start, on - timedelta(days=BACK_DAYS))
    # Counted from today, so that a line always has a point on it.
    begin += timedelta(days=(on - begin).days % EVERY_DAYS)
    return {
        "today": freeze(today(system, log, run, on, known, ran.posterior)),
        "carried": freeze(carried(run, on, state_at(system, log, on).feed)),
        "fish": freeze(fish(system, log, run, on)),
        "outlook": freeze(outlook(run, begin, timedelta(days=EVERY_DAYS), known)),
    }


def _still(loop: Loop, upto: int, share: float) -> None:
    """Give way between two rounds of a fit to a new entry, and to the end of the worker."""
    if calls.stopping.is_set():
        raise jobs.GiveWay
    if share < 1.0 and last_row(loop) != upto:
        raise Overtaken
