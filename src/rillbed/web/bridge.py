"""The only translator between stored rows and garden types."""

from __future__ import annotations

from django.db import transaction

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.web.log.models import LogRow, Loop

FIELDS = ("uuid", "at", "recorded_at", "author", "kind", "version", "payload", "supersedes")


def entry(row: LogRow) -> LogEntry:
    """Return the entry that a row holds, lifted to the current version of its kind."""
    return LogEntry.make({field: getattr(row, field) for field in FIELDS})


def entries(loop: Loop) -> list[LogEntry]:
    """Return all entries of a loop, ordered by time and uuid."""
    return [entry(row) for row in LogRow.objects.filter(loop=loop)]


def store(loop: Loop, new: LogEntry) -> bool:
    """Add an entry to the log of a loop; return False if the same entry is there already.

    Raises
    ------
    GardenError
        If another entry, or another loop, has this uuid.
    """
    with transaction.atomic():
        old = LogRow.objects.filter(uuid=new.uuid).first()
        if old is None:
            values = {field: getattr(new, field) for field in FIELDS} | {"payload": new.payload.model_dump(mode="json")}
            LogRow(loop=loop, **values).save()
            return True
    # The server stamps recorded_at on every sending, so a re-sent entry may differ there and nowhere else.
    if old.loop_id != loop.pk or entry(old).model_copy(update={"recorded_at": new.recorded_at}) != new:
        raise GardenError("uuid", new.uuid, "must be new; another entry has it")
    return False
