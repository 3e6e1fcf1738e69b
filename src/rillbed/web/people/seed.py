"""The invented loop of the demonstration, written through the same door as any entry."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time

from django.contrib.auth.models import User
from django.db import transaction

from rillbed.garden.log import LogEntry
from rillbed.web import bridge
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import Loop


def example(on: date) -> User:
    """Store the invented loop with its log up to the day before `on` and return the person who keeps it."""
    from rillbed.garden.example import load

    system, entries = load(on)
    begun = datetime.combine(system.started_on, time(), UTC)
    set_up = {"uuid": uuid.uuid4(), "at": begun, "author": "you", "kind": "set_up", "payload": {"system": system}}
    with transaction.atomic():
        loop = Loop.objects.create(name=system.name, invented=True)
        for entry in (LogEntry.make(set_up), *entries):
            bridge.store(loop, entry)
        person = User(username="you")
        person.set_unusable_password()
        person.save()
        keep(loop, person)
    return person
