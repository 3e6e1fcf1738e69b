"""The set-up entries of a loop: which one stands, and how a new one is written."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import SetUp
from rillbed.garden.system import System
from rillbed.web import bridge, clock
from rillbed.web.frame.loops import keep, loops_of
from rillbed.web.log.models import LogRow, Loop

if TYPE_CHECKING:
    from django.contrib.auth.models import User


@dataclass(frozen=True)
class Standing:
    """The set-up that stands: the entry as corrected, its loop, and a digest by which a form knows what it changes."""

    entry: LogEntry
    system: System

    @property
    def digest(self) -> str:
        """Return what changes whenever the set-up does."""
        return hashlib.sha256(f"{self.entry.uuid}{self.system.model_dump_json()}".encode()).hexdigest()


def standing(loop: Loop | None) -> Standing | None:
    """Return the set-up of a loop that stands; None without a loop or a set-up."""
    found = bridge.set_ups(loop) if loop is not None else []
    if not found:
        return None
    assert isinstance(found[-1].payload, SetUp)
    return Standing(found[-1], found[-1].payload.system)


def save(loop: Loop | None, system: System, key: UUID, person: User, *, correction: bool) -> Loop:
    """Write a set-up; without a loop, make it. Sending the same form twice changes nothing.

    A `correction` takes the place of the set-up that stands, as if the slip had never been made; otherwise the new
    set-up holds from now on.

    Raises
    ------
    GardenError
        If the log contradicts the new set-up, or the key stands for another entry.
    """
    with transaction.atomic():
        known = LogRow.objects.filter(uuid=key).select_related("loop").first()
        if known is not None and loop is None and loops_of(person).filter(pk=known.loop_id).exists():
            return known.loop
        before = standing(loop)
        kept = loop or Loop.objects.create(name=system.name)
        if loop is None:
            keep(kept, person)
        if before is not None and before.system == system:
            return kept
        now = clock.now()
        entry = {
            "uuid": key,
            "at": _after(before, now) if before else _begun(system, now),
            "recorded_at": now,
            "author": person.get_username(),
            "kind": "set_up",
            "payload": {"system": system.model_dump(mode="json")},
        }
        if correction and before is not None:
            entry |= {"at": before.entry.at, "supersedes": before.entry.uuid}
        bridge.add(kept, LogEntry.make(entry))
        if kept.name != system.name:
            kept.name = system.name
            kept.save(update_fields=["name"])
        return kept


def _after(before: Standing, now: datetime) -> datetime:
    """Return now, or a little later if the set-up before it was written within the same second."""
    return max(now, before.entry.at + timedelta(microseconds=1))


def _begun(system: System, now: datetime) -> datetime:
    """Return the first moment of the day the loop was filled, so that everything logged of it comes after."""
    zone = UTC if system.time_zone == "UTC" else ZoneInfo(system.time_zone)
    return min(now, datetime.combine(system.started_on, time(), zone).astimezone(UTC))
