"""Making, finding and closing the address of a calendar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from rillbed.web import clock
from rillbed.web.calendar.models import Feed
from rillbed.web.people.secrets_kept import digest, fresh

if TYPE_CHECKING:
    from django.contrib.auth.models import User


def make(person: User) -> str:
    """Make an address in place of the last one; its secret is given once and kept nowhere."""
    secret = fresh()
    with transaction.atomic():
        close(person)
        Feed.objects.create(person=person, digest=digest(secret), made_at=clock.now())
    return secret


def close(person: User) -> None:
    """Make the address of a person good for nothing."""
    Feed.objects.filter(person=person, revoked=False).update(revoked=True)


def good(person: User) -> Feed | None:
    """Give the address that opens, if there is one."""
    return Feed.objects.filter(person=person, revoked=False).first()


def whose(secret: str) -> User | None:
    """Find whose calendar a secret opens."""
    rows = Feed.objects.select_related("person").filter(digest=digest(secret), revoked=False, person__is_active=True)
    found = rows.first()
    return None if found is None else found.person
