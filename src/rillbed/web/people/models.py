"""Ways in that an owner gives away, and a record of who gave what to whom. Of every secret only its digest is kept."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from rillbed.web.log.models import Loop, Role


class Invitation(models.Model):
    """A link by which one person comes to a loop, once."""

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=8, choices=Role.choices)
    digest = models.CharField(max_length=64, unique=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    revoked = models.BooleanField(default=False)

    class Meta:
        """Newest first."""

        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.role} of {self.loop}"


class Share(models.Model):
    """A page that anybody with its address may read; it names no person and, unless told to, no loop."""

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="shares")
    title = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    revoked = models.BooleanField(default=False)

    class Meta:
        """Newest first."""

        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.title} of {self.loop}"


class Change(models.Model):
    """Who let whom in, and what else was done to a loop beside its log; written by name, so that it outlasts accounts.

    A change of no loop belongs to one person: a token for all their loops.
    """

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, null=True, related_name="changes")
    at = models.DateTimeField()
    author = models.CharField(max_length=150)
    what = models.CharField(max_length=24)
    about = models.CharField(max_length=250, blank=True)

    class Meta:
        """Newest first."""

        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.author}: {self.what} {self.about}"
