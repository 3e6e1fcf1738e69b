"""Secrets that are given once: long, random, and kept as a digest only."""

from __future__ import annotations

import hashlib
import secrets

BYTES = 24  # 192 bits: nobody guesses one


def fresh(mark: str = "") -> str:
    """Make a secret."""
    return mark + secrets.token_urlsafe(BYTES)


def digest(secret: str) -> str:
    """Give what is kept of a secret; a plain hash is enough, as nothing shorter than the secret itself can be tried."""
    return hashlib.sha256(secret.encode()).hexdigest()
