"""A pause after wrong pass phrases, so that guessing takes years."""

from __future__ import annotations

from django.core.cache import cache
from django.http import HttpRequest

TRIES = 5
PAUSE_S = 600


def _key(request: HttpRequest, name: str) -> str:
    return f"sign-in:{request.META.get('REMOTE_ADDR', '')}:{name.casefold()}".encode().hex()


def left(request: HttpRequest, name: str) -> int:
    """Return the tries left from this address under this name."""
    return max(0, TRIES - int(cache.get(_key(request, name), 0)))


def wrong(request: HttpRequest, name: str) -> int:
    """Count a wrong phrase; return the tries left."""
    key = _key(request, name)
    cache.add(key, 0, PAUSE_S)
    return max(0, TRIES - cache.incr(key))


def forget(request: HttpRequest, name: str) -> None:
    """Clear the count after the right phrase."""
    cache.delete(_key(request, name))
