"""When something happened that reaches us later: by the phone's own stopwatch, whatever its clock shows."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from rillbed.garden.errors import GardenError
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.words import say

MADE, SENT = "made_at", "sent_at"
LONGEST = timedelta(days=60)
JUST_NOW = timedelta(seconds=5)


def made(typed: Mapping[str, str]) -> datetime | None:
    """Return the moment of an entry that waited on a phone; None for one sent at once.

    The phone tells when the entry was made and when it was sent. Only the time between the two counts, so a phone whose
    clock is wrong does not shift the log.

    Raises
    ------
    GardenError
        If either is no moment, or it waited less than nothing or longer than `LONGEST`.
    """
    if not typed.get(MADE):
        return None
    moments = []
    for name in (MADE, SENT):
        try:
            moments.append(datetime.fromisoformat(typed.get(name, "").replace("Z", "+00:00")))
        except ValueError:
            raise GardenError(name, typed.get(name), tr("must be a moment such as 2031-05-22T08:05:00Z")) from None
        if moments[-1].tzinfo is None:
            raise GardenError(name, typed.get(name), tr("needs its time zone"))
    waited = moments[1] - moments[0]
    if not timedelta() <= waited <= LONGEST:
        raise GardenError(
            MADE, typed[MADE], say("must be at most {days} days before {sent}", days=LONGEST.days, sent=SENT)
        )
    if waited <= JUST_NOW:
        return None
    return clock.now() - timedelta(seconds=round(waited.total_seconds()))
