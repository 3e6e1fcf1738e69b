"""Who may come to a loop: by invitation, as what, and until when; every step is written down."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from django.db import transaction

from rillbed.garden.errors import GardenError, one_of
from rillbed.tongue import later, tr
from rillbed.web import clock
from rillbed.web.log.models import Keeper, Loop, Role
from rillbed.web.people.models import Change, Invitation, Share
from rillbed.web.people.secrets_kept import digest, fresh

if TYPE_CHECKING:
    from django.contrib.auth.models import User

DAYS = 7
MOST_OPEN = 50  # invitations, or shared pages, of one loop at a time
SHARED_TITLE = later("A loop of fish and plants")


def note(loop: Loop | None, author: str, what: str, about: str = "") -> None:
    """Write a change down."""
    Change.objects.create(loop=loop, at=clock.now(), author=author, what=what, about=about[:250])


def roles(loop: Loop) -> list[Keeper]:
    """Give the people of a loop, owners first."""
    found = Keeper.objects.filter(loop=loop, person__is_active=True).select_related("person")
    return sorted(found, key=lambda one: (-list(Role).index(Role(one.role)), one.person.get_username()))


def invite(loop: Loop, by: User, role: str) -> str:
    """Make an invitation and give its secret, which is kept nowhere.

    Raises
    ------
    GardenError
        For a role there is not, or too many open invitations.
    """
    if role not in Role.values:
        raise GardenError("role", role, one_of(Role.values))
    if len(open_invitations(loop)) >= MOST_OPEN:
        raise GardenError("invitations", MOST_OPEN, tr("take some back first"))
    secret, now = fresh(), clock.now()
    with transaction.atomic():
        Invitation.objects.create(
            loop=loop, role=role, digest=digest(secret), by=by, made_at=now, ends_at=now + timedelta(days=DAYS)
        )
        note(loop, by.get_username(), "invited", role)
    return secret


def open_invitations(loop: Loop) -> list[Invitation]:
    """Give the invitations that still open."""
    return list(Invitation.objects.filter(loop=loop, used_at=None, revoked=False, ends_at__gt=clock.now()))


def invitation_of(secret: str) -> Invitation | None:
    """Find what a secret invites to; None if it was used, taken back, is too old, or never was."""
    rows = Invitation.objects.select_related("loop", "by").filter(
        digest=digest(secret), used_at=None, revoked=False, ends_at__gt=clock.now(), loop__erasing=False
    )
    return rows.first()


def join(secret: str, person: User) -> Loop | None:
    """Take an invitation; None if another was quicker. A role that is higher already is kept."""
    with transaction.atomic():
        found = invitation_of(secret)
        if found is None:
            return None
        # Counted by the database: of two at once only one changes the row.
        if not Invitation.objects.filter(pk=found.pk, used_at=None).update(used_at=clock.now()):
            return None
        kept, made = Keeper.objects.get_or_create(loop=found.loop, person=person, defaults={"role": found.role})
        if not made and list(Role).index(Role(kept.role)) < list(Role).index(Role(found.role)):
            kept.role = found.role
            kept.save(update_fields=["role"])
        note(found.loop, person.get_username(), "joined", f"{kept.role}, invited by {found.by.get_username()}")
    return found.loop


def set_role(loop: Loop, by: User, key: int, role: str) -> Keeper:
    """Give somebody another role; an empty one removes them.

    Raises
    ------
    GardenError
        If nobody of that key is there, or no owner would be left.
    """
    with transaction.atomic():
        Loop.objects.select_for_update().get(pk=loop.pk)
        kept = Keeper.objects.select_related("person").filter(loop=loop, pk=key).first()
        if kept is None:
            raise GardenError("key", key, tr("must be somebody of this loop"))
        if role and role not in Role.values:
            raise GardenError("role", role, one_of(Role.values))
        owners = Keeper.objects.filter(loop=loop, role=Role.OWNER, person__is_active=True)
        if role != Role.OWNER and not owners.exclude(pk=kept.pk).exists():
            raise GardenError("role", role or "none", tr("the last owner stays; make somebody else an owner first"))
        name, before = kept.person.get_username(), kept.role
        if before == Role.OWNER and role != Role.OWNER:
            # Nobody comes in any more by the word of somebody who may not say so.
            Invitation.objects.filter(loop=loop, by=kept.person, used_at=None).update(revoked=True)
        if role:
            kept.role = role
            kept.save(update_fields=["role"])
            note(loop, by.get_username(), "role", f"{name}: {before} to {role}")
        else:
            kept.delete()
            note(loop, by.get_username(), "left" if by == kept.person else "removed", name)
    return kept


def share(loop: Loop, by: User, title: str) -> str:
    """Make a page for everybody and give its secret.

    Raises
    ------
    GardenError
        If its title is too long, or there are too many.
    """
    title = " ".join(title.split()) or tr(SHARED_TITLE)
    if len(title) > 80:
        raise GardenError("title", title, tr("must be 80 letters or fewer"))
    if Share.objects.filter(loop=loop, revoked=False).count() >= MOST_OPEN:
        raise GardenError("shared pages", MOST_OPEN, tr("close some first"))
    secret = fresh()
    with transaction.atomic():
        Share.objects.create(loop=loop, title=title, digest=digest(secret), by=by, made_at=clock.now())
        note(loop, by.get_username(), "shared", title)
    return secret


def shared(secret: str) -> Share | None:
    """Find the shared page of a secret."""
    rows = Share.objects.select_related("loop").filter(digest=digest(secret), revoked=False, loop__erasing=False)
    return rows.first()
