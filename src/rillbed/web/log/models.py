"""Loops and their append-only log."""

from __future__ import annotations

from typing import Any, NoReturn

from django.conf import settings
from django.db import models


class AppendOnlyError(TypeError):
    """Somebody tried to change or remove an entry; a correction is a new entry that supersedes it."""


def _refuse(*_: Any, **__: Any) -> NoReturn:
    raise AppendOnlyError("log entry: cannot be changed or removed; write a new entry that supersedes it")


class AppendOnly(models.QuerySet["LogRow"]):
    """Rows that can be read and added only; triggers in the database say the same to everybody else."""

    update = delete = bulk_update = update_or_create = _refuse


class Role(models.TextChoices):
    """What somebody may do with a loop, the least first."""

    READER = "reader", "reader"
    HELPER = "helper", "helper"
    OWNER = "owner", "owner"


RANKS = {role.value: rank for rank, role in enumerate(Role)}


class Loop(models.Model):
    """One loop of water.

    `role` is what the person may do who asked for it; only loops found through `rillbed.web.frame.loops` have one.
    """

    role: str
    name = models.CharField(max_length=80)
    invented = models.BooleanField(default=False)  # an example; every page says so
    erasing = models.BooleanField(default=False)  # opens the lock on its rows, see `rillbed.web.log.erase`

    def __str__(self) -> str:
        return self.name


class Keeper(models.Model):
    """Somebody who may see a loop, and as what; to everybody else it does not exist."""

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="keepers")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="keeps")
    role = models.CharField(max_length=8, choices=Role.choices, default=Role.OWNER)

    class Meta:
        """Nobody keeps a loop twice."""

        constraints = (models.UniqueConstraint(fields=("loop", "person"), name="one_keeper_once"),)

    def __str__(self) -> str:
        return f"{self.person}, {self.role} of {self.loop}"


class LogRow(models.Model):
    """One log entry as stored; `rillbed.web.bridge` turns it into its garden type."""

    uuid = models.UUIDField(unique=True)
    loop = models.ForeignKey(Loop, on_delete=models.PROTECT, related_name="rows")
    at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    author = models.CharField(max_length=80, blank=True)
    kind = models.CharField(max_length=32)
    version = models.PositiveIntegerField()
    payload = models.JSONField()
    supersedes = models.UUIDField(null=True)

    objects = AppendOnly.as_manager()

    class Meta:
        """Order of the fold."""

        ordering = ("at", "uuid")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.kind}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Store a new row; refuse to store one again."""
        if self.pk is not None:
            _refuse()
        super().save(*args, **kwargs)

    delete = _refuse
