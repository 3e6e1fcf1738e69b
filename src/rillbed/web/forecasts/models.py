"""Answers worked out, by the digest of what went in; any row may be thrown away."""

from __future__ import annotations

from django.db import models

from rillbed.web.log.models import Loop


class StoredForecast(models.Model):
    """What the plans answered for one loop on one day.

    `upto` is the last log row that was looked at: the log only grows, so it says whether anything was added since.
    `made_with` names program, model and members: an upgrade makes every older answer an old one.
    """

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="forecasts")
    key = models.CharField(max_length=64)
    on = models.DateField()
    upto = models.BigIntegerField()
    made_with = models.CharField(max_length=64, default="")
    made_at = models.DateTimeField()
    answer = models.JSONField(null=True)
    problem = models.TextField(blank=True)

    class Meta:
        """Newest first; one row per loop and digest."""

        ordering = ("-pk",)
        constraints = (models.UniqueConstraint(fields=("loop", "key"), name="one_forecast_per_digest"),)

    def __str__(self) -> str:
        return f"{self.loop} on {self.on}"


class StoredFit(models.Model):
    """Members that a loop's log believes: the last whole fit, names by members, four bytes each."""

    loop = models.OneToOneField(Loop, on_delete=models.CASCADE, primary_key=True, related_name="fit")
    on = models.DateField()
    upto = models.BigIntegerField()
    made_with = models.CharField(max_length=64)
    names = models.JSONField()
    members = models.BinaryField()
    reached = models.FloatField()
    effective = models.FloatField()

    def __str__(self) -> str:
        return f"fit of {self.loop} on {self.on}"


class StoredAhead(models.Model):
    """The near part of a loop's last forecast, with its members: what pages ask questions of their own."""

    loop = models.OneToOneField(Loop, on_delete=models.CASCADE, primary_key=True, related_name="ahead")
    on = models.DateField()
    upto = models.BigIntegerField()
    made_with = models.CharField(max_length=64)
    data = models.BinaryField()

    def __str__(self) -> str:
        return f"forecast of {self.loop} about {self.on}"


class StoredPlan(models.Model):
    """The last planting plan of a loop and its room by week; a plan is no fact, what happened stands in the log."""

    loop = models.OneToOneField(Loop, on_delete=models.CASCADE, primary_key=True, related_name="plan")
    on = models.DateField()
    upto = models.BigIntegerField()
    made_with = models.CharField(max_length=64)
    edits = models.PositiveIntegerField(default=0)
    made_at = models.DateTimeField()
    plan = models.JSONField(null=True)
    room = models.JSONField(null=True)
    crop = models.CharField(max_length=64, blank=True)
    problem = models.TextField(blank=True)

    def __str__(self) -> str:
        return f"plan of {self.loop} on {self.on}"


class PlanLine(models.Model):
    """A line of the plan that somebody wants as it is; dropped ones stay, with who made them."""

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="plan_lines")
    key = models.UUIDField(unique=True)
    crop = models.CharField(max_length=64)
    bed = models.CharField(max_length=80)
    on = models.DateField()
    count = models.PositiveIntegerField()
    author = models.CharField(max_length=150)
    made_at = models.DateTimeField()
    dropped = models.BooleanField(default=False)

    class Meta:
        """In the order of their days."""

        ordering = ("on", "pk")

    def __str__(self) -> str:
        return f"{self.count} {self.crop} in {self.bed} on {self.on}"


class StoredAway(models.Model):
    """What some days away come to with one part of the ration, as somebody asked.

    `mark` names the state of the loop it was worked out from, and is empty before; `wanted` until it is worked out.
    """

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="aways")
    first = models.DateField()
    last = models.DateField()
    share = models.FloatField()
    wanted = models.BooleanField(default=True)
    mark = models.CharField(max_length=120, blank=True)
    found = models.JSONField(null=True)
    problem = models.TextField(blank=True)

    class Meta:
        """In the order they were asked in; one row per stretch and share."""

        ordering = ("pk",)
        constraints = (models.UniqueConstraint(fields=("loop", "first", "last", "share"), name="one_away_per_share"),)

    def __str__(self) -> str:
        return f"{self.loop} from {self.first} to {self.last}"


class Job(models.Model):
    """Something to be worked out for a loop; see `rillbed.web.forecasts.jobs`."""

    class State(models.TextChoices):
        """Where it stands."""

        WAITING = "waiting", "waiting"
        TAKEN = "taken", "taken"
        DONE = "done", "done"
        FAILED = "failed", "failed"

    loop = models.ForeignKey(Loop, on_delete=models.CASCADE, related_name="jobs")
    kind = models.CharField(max_length=16)
    digest = models.CharField(max_length=160)
    rank = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    worker = models.CharField(max_length=80, blank=True)
    token = models.UUIDField(null=True)
    lease_until = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        """Each is asked for once."""

        constraints = (models.UniqueConstraint(fields=("loop", "kind", "digest"), name="one_job_per_digest"),)
        indexes = (models.Index(fields=("state", "rank", "id"), name="jobs_in_order"),)

    def __str__(self) -> str:
        return f"{self.kind} of {self.loop}, {self.state}"


class Worker(models.Model):
    """A process that takes jobs, and when it last said that it lives."""

    name = models.CharField(max_length=80, unique=True)
    version = models.CharField(max_length=32)
    started_at = models.DateTimeField()
    seen_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.name}, seen {self.seen_at:%Y-%m-%d %H:%M:%S}"
