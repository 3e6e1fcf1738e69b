"""Days away, worked out beside the pages: asked for by whoever looks at them, one part of the ration at a time."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed.plan.away import Away, away
from rillbed.tongue import later, tr
from rillbed.web import bridge
from rillbed.web.forecasts import fits, jobs, store
from rillbed.web.forecasts.codec import freeze, thaw
from rillbed.web.forecasts.models import StoredAway
from rillbed.web.log.models import Loop

KEPT = 40  # the oldest are thrown away, looked at or not: asking is reading, and must not fill the disk


@dataclass(frozen=True)
class Asked:
    """What is known of a stretch.

    Attributes
    ----------
    rows : tuple of Away
        Those worked out, the least share first; of an older log while a new one is being worked out.
    of : int
        How many were asked for.
    fresh : int
        How many of them are of today and know every entry.
    problem : str
        Why one of them failed, if it did.
    """

    rows: tuple[Away, ...]
    of: int
    fresh: int
    problem: str = ""

    @property
    def waits(self) -> bool:
        """Whether something is still to come."""
        return self.fresh < self.of and not self.problem


def ask(loop: Loop, on: date, first: date, last: date, shares: Sequence[float]) -> Asked:
    """Give what is known of a stretch with some parts of the ration, and want what is not known for today's log."""
    mark, rows, fresh, problem = _mark(loop, on), [], 0, ""
    for share in sorted(shares):
        row, _ = StoredAway.objects.get_or_create(loop=loop, first=first, last=last, share=share)
        if row.mark == mark:
            fresh += 1
            problem = problem or tr(row.problem)
        elif not row.wanted:
            StoredAway.objects.filter(pk=row.pk).update(wanted=True)
        if (found := _read(row)) is not None:
            rows.append(found)
    old = StoredAway.objects.filter(loop=loop).order_by("-pk").values_list("pk", flat=True)[KEPT:]
    StoredAway.objects.filter(pk__in=list(old)).delete()
    return Asked(tuple(rows), len(shares), fresh, problem)


def due(loop: Loop, on: date) -> str:
    """Name what is wanted next, once the whole log is read; nothing if nothing is."""
    if not store.is_fresh(loop, on):
        return ""
    row = _next(loop)
    return "" if row is None else f"{_mark(loop, on)}|{row.pk}"


def work_out(loop: Loop, on: date) -> None:
    """Run the members of the last whole fit through the stretch that is wanted next, and store what it comes to."""
    row, mark, upto = _next(loop), _mark(loop, on), store.last_row(loop)
    if row is None:
        return
    known = fits.last(loop, store.made_with())
    values: dict[str, object] = {"wanted": False, "mark": mark, "found": None, "problem": ""}
    log = bridge.entries(loop, upto=upto)
    try:
        if known is None:
            raise ValueError(store.latest(loop, on).problem or later("the loop could not be worked out"))
        found = away(bridge.first_system(log), log, on, row.first, row.last, row.share, posterior=known)
        values["found"] = freeze(found)
    except ValueError as error:
        values["problem"] = " ".join(str(error).split())
    except Exception:
        logging.getLogger(__name__).exception("days away failed")
        values["problem"] = later("a fault in the program; the server's log has the details")
    with jobs.storing():
        StoredAway.objects.filter(pk=row.pk).update(**values)


def give_up(loop: Loop, on: date) -> None:
    """Want no more what was tried too often, and say so."""
    row = _next(loop)
    if row is not None:
        told = later("it was begun several times and never ended; the server's log has the details")
        StoredAway.objects.filter(pk=row.pk).update(wanted=False, mark=_mark(loop, on), found=None, problem=told)


def _next(loop: Loop) -> StoredAway | None:
    return StoredAway.objects.filter(loop=loop, wanted=True).first()


def _mark(loop: Loop, on: date) -> str:
    """Name the state of a loop that an answer is for: its log, the day, the program, and how far its fit has read."""
    return f"{store.mark(loop, on)}|{fits.upto(loop)}"


def _read(row: StoredAway) -> Away | None:
    if row.found is None:
        return None
    try:
        return thaw(Away, row.found)
    except (KeyError, TypeError, ValueError):
        StoredAway.objects.filter(pk=row.pk).update(found=None, mark="")  # written by another version: as good as none
        return None
