"""The only way in which a log ends: a whole loop is removed at once, with everything that hangs on it."""

from __future__ import annotations

from django.db import models, transaction

from rillbed.web.log.models import LogRow, Loop


def erase(loop: Loop) -> None:
    """Remove a loop, its whole log and its forecasts; all of it or nothing."""
    with transaction.atomic():
        # The mark opens the lock that the database keeps on the rows, for this loop alone.
        Loop.objects.filter(pk=loop.pk).update(erasing=True)
        models.QuerySet(LogRow).filter(loop=loop).delete()
        loop.delete()
