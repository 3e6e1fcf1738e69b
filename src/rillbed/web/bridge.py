"""The only translator between stored rows and garden types."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from django.db import connection, transaction
from django.db.models import Count, Max

from rillbed.garden import fold
from rillbed.garden.chains import Told
from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import SetUp, Spell
from rillbed.garden.spells import must_not_meet
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.web.log.models import LogRow, Loop

FIELDS = ("uuid", "at", "recorded_at", "author", "kind", "version", "payload", "supersedes")
KEPT = 16
_logs: dict[int, tuple[int, int, Told]] = {}  # key of a loop -> last key and number of the rows read, and the log


def entry(row: LogRow) -> LogEntry:
    """Return the entry that a row holds, lifted to the current version of its kind."""
    return LogEntry.make({field: getattr(row, field) for field in FIELDS})


def written(
    *,
    uuid: UUID,
    at: datetime,
    author: str,
    kind: str,
    payload: Mapping[str, object],
    supersedes: UUID | None = None,
) -> LogEntry:
    """Return an entry as it comes in through a page, stamped with the time of the server.

    Raises
    ------
    GardenError
        Naming the field that its kind does not allow.
    """
    told = {"uuid": uuid, "at": at, "author": author, "kind": kind, "payload": dict(payload), "supersedes": supersedes}
    return LogEntry.make(told | {"recorded_at": clock.now()})


def entries(loop: Loop, upto: int | None = None) -> Told:
    """Return the entries of a loop, ordered by time and uuid; with `upto` only rows stored until that key."""
    rows = LogRow.objects.filter(loop=loop)
    if upto is not None or connection.in_atomic_block:
        # What is read in a transaction may be rolled back, so nobody else may be given it.
        return Told(entry(row) for row in (rows if upto is None else rows.filter(pk__lte=upto)))
    seen = rows.aggregate(last=Max("pk"), count=Count("pk"))
    return _read(loop.pk, seen["last"] or 0, seen["count"])


def _read(loop: int, last: int, count: int) -> Told:
    """Read a log that only grows: last key and number of its rows name what is in it, so only new rows are read."""
    upto, known, told = _logs.get(loop, (0, 0, Told()))
    if (upto, known) == (last, count):
        return told
    rows = LogRow.objects.filter(loop=loop, pk__lte=last)
    new = [entry(row) for row in rows.filter(pk__gt=upto)]
    if known + len(new) != count:  # not the log that was read before
        told, new = Told(), [entry(row) for row in rows]
    told = Told(sorted((*told, *new), key=lambda one: (one.at, one.uuid)))
    _logs.pop(loop, None)
    _logs[loop] = (last, count, told)
    for old in list(_logs)[:-KEPT]:
        _logs.pop(old, None)
    return told


def first_system(log: Sequence[LogEntry]) -> System:
    """Return the loop as first set up: the system of the earliest set-up entry that counts.

    Raises
    ------
    GardenError
        If the log has no set-up.
    """
    for one in fold.effective(log):
        if isinstance(one.payload, SetUp):
            return one.payload.system
    raise GardenError("set_up", "nothing", tr("a loop needs a set-up entry first"))


def standing_system(loop: Loop) -> System:
    """Return the loop as last set up.

    Raises
    ------
    GardenError
        If the log has no set-up.
    """
    found = set_ups(loop)
    if not found:
        raise GardenError("set_up", "nothing", tr("a loop needs a set-up entry first"))
    payload = found[-1].payload
    assert isinstance(payload, SetUp)
    return payload.system


def set_ups(loop: Loop) -> list[LogEntry]:
    """Return the set-ups that count, oldest first, from their entries and what corrects them alone."""
    rows = LogRow.objects.filter(loop=loop, kind__in=("set_up", "withdrawn"))
    told = [entry(row) for row in rows]
    known = {one.uuid for one in told if one.kind == "set_up"}
    told = [one for one in told if one.kind == "set_up" or one.supersedes in known]
    return [one for one in fold.effective(told) if isinstance(one.payload, SetUp)]


def add(loop: Loop, *new: LogEntry) -> int:
    """Add entries if the log with them makes sense; return how many were not there already.

    Raises
    ------
    GardenError
        If an entry contradicts the log, or its uuid stands for another entry; nothing is stored then.
    """
    with transaction.atomic():
        _one_at_a_time(loop)
        log = entries(loop)
        known = {one.uuid for one in log}
        fresh = [one for one in new if one.uuid not in known]
        whole = [*log, *fresh]
        if fresh:
            fold.check(first_system(whole), whole)
        if away := {one.uuid for one in fresh if isinstance(one.payload, Spell)}:
            must_not_meet(whole, away)
        return sum(store(loop, one) for one in new)


def store(loop: Loop, new: LogEntry) -> bool:
    """Add an entry to the log of a loop; return False if the same entry is there already.

    Raises
    ------
    GardenError
        If another entry, or another loop, has this uuid.
    """
    with transaction.atomic():
        _one_at_a_time(loop)
        old = LogRow.objects.filter(uuid=new.uuid).first()
        if old is None:
            values = {field: getattr(new, field) for field in FIELDS} | {"payload": new.payload.model_dump(mode="json")}
            LogRow(loop=loop, **values).save()
            return True
    # The server stamps recorded_at on every sending, so a re-sent entry may differ there and nowhere else.
    if old.loop_id != loop.pk or entry(old).model_copy(update={"recorded_at": new.recorded_at}) != new:
        raise GardenError("uuid", new.uuid, tr("must be new; another entry has it"))
    return False


def _one_at_a_time(loop: Loop) -> None:
    """Let the writers of a log wait for each other, so that a row never comes to light after one with a higher key.

    Everything that says how far a log was read counts on that. A single file has one writer at a time anyway.
    """
    if connection.features.has_select_for_update:
        Loop.objects.select_for_update().get(pk=loop.pk)
