"""The jobs that keep a loop running, how often, and what each needs to be a job at all."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from rillbed.facts.load import Row, read_rows

Needs = Literal["any", "fish", "beds", "media", "solids_out", "stones", "heater", "meter", "kits"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepJob(Row):
    """One job.

    Attributes
    ----------
    short : str
        Its name in a drawing.
    needs : str
        What a loop must have for it.
    days_low, days_high : float
        Days from one to the next.
    follows : str
        days, or feed where it comes sooner the more is fed.
    minutes : float
        How long it takes.
    part : str
        What is new after it, empty for a job that renews nothing.
    cautions : tuple of str
        Codes.
    """

    name: str
    short: str
    needs: Needs
    days_low: float
    days_high: float
    minutes: float
    follows: Literal["days", "feed"] = "days"
    part: str = ""
    cautions: tuple[str, ...] = ()


@cache
def upkeep() -> dict[str, UpkeepJob]:
    """Return every job by id."""
    return read_rows("upkeep.toml", UpkeepJob)
