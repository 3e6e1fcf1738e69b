"""The address of somebody's calendar: only its digest is kept."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Feed(models.Model):
    """One address of one person's calendar; a person has one that is good at a time."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="feeds")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    revoked = models.BooleanField(default=False)

    class Meta:
        """Newest first."""

        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"calendar of {self.person}"
