"""Tokens: only their digest is kept."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from rillbed.tongue import later
from rillbed.web.log.models import Loop

READ, LOG, ALL = "read", "log", "all"
SCOPES = ((READ, later("read")), (LOG, later("read and log")), (ALL, later("read, log and change the set-up")))
REACH = {scope: rank for rank, (scope, _) in enumerate(SCOPES)}


class Token(models.Model):
    """One token of one person, for one loop or all of theirs; it never reaches further than the person's role."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="tokens")
    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, null=True, related_name="tokens")
    name = models.CharField(max_length=60)
    scope = models.CharField(max_length=8, choices=SCOPES)
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    revoked = models.BooleanField(default=False)

    class Meta:
        """Newest first."""

        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.name} of {self.person}"
