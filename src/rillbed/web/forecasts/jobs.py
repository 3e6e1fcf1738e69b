"""Jobs in the database: asked for once, taken by one worker at a time, taken over when that worker is gone.

A worker holds a job by a lease that it renews. What it stores is stored in the transaction that ends the job, and only
while it still holds it: a worker that was away too long, or was killed, ends nothing that another has taken over.
All times are those of the database, so the clocks of the hosts do not matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID, uuid4

from django.db import connection, transaction
from django.db.models import DateTimeField, ExpressionWrapper, F, Q
from django.db.models.expressions import CombinedExpression
from django.db.models.functions import Now

from rillbed.web.forecasts.models import Job
from rillbed.web.log.models import Loop

LEASE_S = 60.0  # three renewals may fail before a job is taken over
MOST_TRIES = 4  # a job whose worker was gone this often is not tried again: it may be what ends them
AGAIN_S = 10.0  # a job that ended and is asked for again at once is most likely one that can do nothing yet
KEPT_DAYS = 7


class GiveWay(Exception):
    """The job cannot go on now; nothing was stored, and somebody takes it up later if it is still wanted."""


class Lost(Exception):
    """Another worker has taken the job over; nothing was stored."""


@dataclass
class Claim:
    """A job that this process holds.

    Attributes
    ----------
    job : Job
        What is to be done.
    token : UUID
        Names this holding of it; the next holder has another.
    ended : bool
        Whether it was stored and ended.
    """

    job: Job
    token: UUID
    ended: bool = False


_held: ContextVar[Claim | None] = ContextVar("held", default=None)


def from_now(seconds: float) -> ExpressionWrapper[CombinedExpression]:
    """Give a moment as the database counts it, so many seconds from now."""
    return ExpressionWrapper(Now() + timedelta(seconds=seconds), output_field=DateTimeField())


def ask(loop: Loop, kind: str, digest: str, rank: int) -> None:
    """Ask for a job; one that was asked for under this digest already is not asked for again.

    Parameters
    ----------
    loop : Loop
        What it is about.
    kind : str
        What to do.
    digest : str
        Names the state of the loop that asks for it, at most 160 characters.
    rank : int
        0 is done first.
    """
    others = Job.objects.filter(loop=loop, kind=kind, state=Job.State.WAITING).exclude(digest=digest)
    others.delete()  # asked for by a state that has passed
    row = Job.objects.filter(loop=loop, kind=kind, digest=digest).first()
    if row is None:
        new = Job(loop=loop, kind=kind, digest=digest, rank=rank)
        Job.objects.bulk_create([new], ignore_conflicts=True)  # another worker may ask at the same moment


def ended_long_ago(loop: Loop, kind: str, digest: str) -> bool:
    """Whether the job ended, and not just now."""
    rows = Job.objects.filter(loop=loop, kind=kind, digest=digest, state=Job.State.DONE)
    return rows.filter(ended_at__lt=from_now(-AGAIN_S)).exists()


def lock(loop: Loop, kind: str, digest: str) -> None:
    """Let whoever wants to take or end this job wait until the transaction is over."""
    Job.objects.select_for_update().filter(loop=loop, kind=kind, digest=digest).first()


def ask_again(loop: Loop, kind: str, digest: str) -> None:
    """Let a job that ended be done once more: what it stored was thrown away."""
    rows = Job.objects.filter(loop=loop, kind=kind, digest=digest, state=Job.State.DONE)
    rows.update(state=Job.State.WAITING, tries=0, token=None)


def claim(kinds: Iterable[str], worker: str) -> Claim | None:
    """Take the most urgent job that nobody holds; None if there is none."""
    free = Q(state=Job.State.WAITING) | Q(state=Job.State.TAKEN, lease_until__lt=Now())
    wanted = Job.objects.filter(free, kind__in=list(kinds), tries__lt=MOST_TRIES).order_by("rank", "pk")
    while wanted.exists():
        with transaction.atomic():
            # Rows that another worker is just taking are passed over instead of waited for.
            skip = connection.features.has_select_for_update_skip_locked
            job = wanted.select_for_update(skip_locked=skip).first()
            if job is None:
                return None
            token = uuid4()
            Job.objects.filter(pk=job.pk).update(
                state=Job.State.TAKEN,
                worker=worker[:80],
                token=token,
                lease_until=from_now(LEASE_S),
                tries=F("tries") + 1,
            )
        return Claim(job, token)
    return None


def given_up() -> list[Job]:
    """Mark and return the jobs that were tried too often: their workers were gone each time."""
    free = Q(state=Job.State.WAITING) | Q(state=Job.State.TAKEN, lease_until__lt=Now())
    gone = Job.objects.filter(free, tries__gte=MOST_TRIES)
    found = []
    for job in gone:
        if gone.filter(pk=job.pk).update(state=Job.State.FAILED, token=None, ended_at=Now()):
            found.append(job)
    return found


def renew(tokens: Iterable[UUID]) -> None:
    """Hold the jobs of these tokens for another while."""
    Job.objects.filter(token__in=list(tokens), state=Job.State.TAKEN).update(lease_until=from_now(LEASE_S))


def put_back(held: Claim, *, tried: bool = False) -> None:
    """Let go of a job without an end, and say whether that was a try."""
    mine = Job.objects.filter(pk=held.job.pk, token=held.token, state=Job.State.TAKEN)
    mine.update(state=Job.State.WAITING, token=None, lease_until=None, tries=F("tries") - (0 if tried else 1))


def drop(held: Claim) -> None:
    """Remove a job that nobody wants any more."""
    Job.objects.filter(pk=held.job.pk, token=held.token, state=Job.State.TAKEN).delete()


@contextmanager
def holding(held: Claim) -> Iterator[None]:
    """Work on a job: within this, `storing` stores only while it is still held."""
    mark = _held.set(held)
    try:
        yield
    finally:
        _held.reset(mark)


@contextmanager
def storing() -> Iterator[None]:
    """Store what a job worked out, and end the job, both or neither; without a job just store it.

    Raises
    ------
    Lost
        If another worker has taken the job over; nothing is stored.
    """
    held = _held.get()
    with transaction.atomic():
        if held is not None:
            _end(held)
        yield
    if held is not None:
        held.ended = True


def end(held: Claim) -> None:
    """End a job that had nothing to store.

    Raises
    ------
    Lost
        If another worker has taken the job over.
    """
    with transaction.atomic():
        _end(held)
    held.ended = True


def _end(held: Claim) -> None:
    mine = Job.objects.filter(pk=held.job.pk, token=held.token)
    if not mine.update(state=Job.State.DONE, ended_at=Now(), lease_until=None):
        raise Lost
    Job.objects.filter(loop=held.job.loop_id, ended_at__lt=from_now(-KEPT_DAYS * 86400.0)).delete()
