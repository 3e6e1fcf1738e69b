"""Making, finding and revoking tokens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from rillbed.garden.errors import GardenError, one_of
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.web.api.models import REACH, Token
from rillbed.web.frame.loops import loops_of
from rillbed.web.log.models import Loop
from rillbed.web.people.members import note
from rillbed.web.people.secrets_kept import digest, fresh

if TYPE_CHECKING:
    from django.contrib.auth.models import User

MARK = "rb_"
MOST = 50  # good tokens of one person
USED_EVERY_S = 60  # a token used every second is not written down every second


def make(person: User, name: str, scope: str, loop: Loop | None) -> str:
    """Make a token; its secret is given once and kept nowhere.

    Raises
    ------
    GardenError
        For a name that is missing or too long, a scope there is not, or too many tokens.
    """
    name = " ".join(name.split())
    if not 1 <= len(name) <= 60:
        raise GardenError("name", name, tr("needs 1 to 60 letters, so that you know it again"))
    if scope not in REACH:
        raise GardenError("scope", scope, one_of(REACH))
    if Token.objects.filter(person=person, revoked=False).count() >= MOST:
        raise GardenError("tokens", MOST, tr("revoke some first"))
    secret = fresh(MARK)
    with transaction.atomic():
        Token.objects.create(
            person=person, name=name, scope=scope, loop=loop, digest=digest(secret), made_at=clock.now()
        )
        for one in [loop] if loop is not None else loops_of(person):
            note(one, person.get_username(), "token", f"{name} ({scope})")
    return secret


def revoke(token: Token) -> None:
    """Make a token good for nothing."""
    with transaction.atomic():
        Token.objects.filter(pk=token.pk).update(revoked=True)
        for one in [token.loop] if token.loop is not None else loops_of(token.person):
            note(one, token.person.get_username(), "token_back", token.name)


def found(secret: str) -> Token | None:
    """Find a token that is good, and note that it was used."""
    token = Token.objects.select_related("person", "loop").filter(digest=digest(secret), revoked=False).first()
    if token is None or not token.person.is_active:
        return None
    now = clock.now()
    if token.used_at is None or abs((now - token.used_at).total_seconds()) >= USED_EVERY_S:
        Token.objects.filter(pk=token.pk).update(used_at=now)
    return token
