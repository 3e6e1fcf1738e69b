"""One-time links: the secret in the address is the key, and using it breaks it."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.contrib.auth.tokens import default_token_generator
from django.core import signing
from django.urls import reverse

SALT = "rillbed.set-up"
DAY = 24 * 3600


def set_up_is_open() -> bool:
    """Whether nobody has an account yet."""
    return not User.objects.exists()


def set_up_path() -> str:
    """Path at which the first account is made; good for a day and only while there is none."""
    return reverse("first-account", args=[signing.dumps("first", salt=SALT)])


def set_up_fits(secret: str) -> bool:
    """Whether a secret opens the first account now."""
    try:
        return bool(signing.loads(secret, salt=SALT, max_age=DAY) == "first") and set_up_is_open()
    except signing.BadSignature:
        return False


def entry_path(person: User) -> str:
    """Path that signs a person in once: signing in changes what the secret was made from."""
    return reverse("enter", args=[person.pk, default_token_generator.make_token(person)])


def person_of(key: int, secret: str) -> User | None:
    """Person whom an entry link signs in, None if it was used, is too old or is wrong."""
    person = User.objects.filter(pk=key, is_active=True).first()
    return person if person is not None and default_token_generator.check_token(person, secret) else None
