"""A line of the plan by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from rillbed import facts
from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.plan.beds.answers import Lock
from rillbed.plan.beds.plan import check_lock
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field, Options
from rillbed.web.setup.measures import whole
from rillbed.words.numbers import capital, say

MOST = 10_000


def _crops() -> Options:
    return sorted(((key, tr(row.common_name)) for key, row in facts.crops().items()), key=lambda pair: pair[1])


def _bed(system: System) -> Field:
    return Field("bed", later("Bed"), "choice", lambda: [(bed.name, bed.name) for bed in system.beds])


FIELDS: tuple[Field | Callable[[System], Field], ...] = (
    Field("crop", later("Crop"), "choice", _crops),
    _bed,
    Field("on", later("Set out on"), "date"),
    Field("count", later("Plants"), "whole"),
)


def fields_of(typed: Mapping[str, str], system: System, today: date) -> tuple[Lock | None, dict[str, str]]:
    """Read a line; give it, or what is wrong by field."""
    problems: dict[str, str] = {}
    crop, bed = typed.get("crop", ""), typed.get("bed", "")
    if crop not in facts.crops():
        problems["crop"] = tr("Choose one from the list.")
    if bed not in {one.name for one in system.beds}:
        problems["bed"] = tr("Choose one of the beds.")
    on = today
    try:
        on = date.fromisoformat(typed.get("on", ""))
    except ValueError:
        problems["on"] = tr("Needs a date such as 2031-05-22.")
    if on < today:
        problems["on"] = say("Must not be before today, {today}.", today=today.isoformat())
    count = 0
    try:
        count = whole("count", typed.get("count", ""))
    except GardenError as error:
        problems["count"] = capital(error.allowed) + "."
    if "count" not in problems and not 1 <= count <= MOST:
        problems["count"] = say("Must be from 1 to {most}.", most=MOST)
    told = Lock(crop, bed, on, count)
    if not problems:
        try:
            check_lock(system, told, today)
        except GardenError as error:
            problems[error.field.removeprefix("locked.")] = capital(error.allowed) + "."
    return (None, problems) if problems else (told, {})
