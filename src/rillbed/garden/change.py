"""A change somebody thinks about: other equipment, fish, plants or days away, as entries that have not happened."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time
from typing import Any, Final, Literal, Self

from pydantic import Field, model_validator

from rillbed.garden.base import Frozen
from rillbed.garden.errors import FileError, GardenError, one_of
from rillbed.garden.log import LogEntry
from rillbed.garden.system import Bed, Name, System
from rillbed.garden.texts import toml_of
from rillbed.tongue import tr

CHANGE_FORMAT: Final = 1
POSSIBLE: Final = frozenset({
    "fish_in", "fish_out", "planted", "picked", "removed", "dosed", "water_changed", "cleaned", "outage",
    "feed_changed", "equipment_stopped", "equipment_started",
})  # fmt: skip
"""Kinds of entry that can be planned: what somebody does or suffers, not what they read or write down."""
FIXED: Final = frozenset({"format", "name", "beds", "tanks", "started_on", "startup_path", "seeding", "time_zone"})
"""Fields of a loop that a change cannot touch as they are; beds have words of their own."""


class Away(Frozen):
    """Days with less feed or none, both ends included."""

    first: date
    last: date
    feed_share: float = Field(default=0.0, ge=0, le=1)

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last < self.first:
            raise GardenError("away.last", self.last, tr("must not be before away.first, {day}").format(day=self.first))
        return self


class Planned(Frozen):
    """One thing that is to happen: an entry without an author."""

    on: date
    kind: str
    payload: dict[str, Any] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.kind not in POSSIBLE:
            raise GardenError("log.kind", self.kind, one_of(sorted(POSSIBLE)))
        return self


class Change(Frozen):
    """What would be different from a day on.

    Attributes
    ----------
    on : date, optional
        Day from which equipment, beds and source water differ; left out: the day after the forecast is made.
    system : dict
        Fields of the loop with their new values, e.g. ``heater_set_c`` or ``source_water``.
    add_beds, remove_beds
        Beds that come, and names of beds that go.
    log : tuple of Planned
        Fish, plants, doses, outages to come.
    away : tuple of Away
        Days with less feed or none.
    feed_share, feed_g_day
        Another ration from then on: a factor on what the fish would get, or a fixed amount.
    """

    format: Literal[1] = CHANGE_FORMAT
    name: Name = "the change"
    on: date | None = None
    system: dict[str, Any] = Field(default_factory=dict)
    add_beds: tuple[Bed, ...] = ()
    remove_beds: tuple[Name, ...] = ()
    log: tuple[Planned, ...] = ()
    away: tuple[Away, ...] = ()
    feed_share: float | None = Field(default=None, ge=0, le=5)
    feed_g_day: float | None = Field(default=None, ge=0, le=1e6)

    @model_validator(mode="after")
    def _touchable(self) -> Self:
        for field in self.system:
            if field in FIXED or field not in System.model_fields:
                allowed = ", ".join(sorted(set(System.model_fields) - FIXED))
                raise GardenError(
                    f"system.{field}",
                    self.system[field],
                    tr("cannot be changed; allowed are {fields}").format(fields=allowed),
                )
        return self

    def entries(self, system: System, after: date) -> tuple[LogEntry, ...]:
        """Return the change as entries of days after `after`, for a loop that stands as `system`.

        Raises
        ------
        GardenError
            For a day that is over, a bed that is not there, or what no entry or loop may hold.
        """
        made = [self._made(after, item.on, item.kind, item.payload, i) for i, item in enumerate(self.log)]
        if self.system or self.add_beds or self.remove_beds:
            day = self.on or date.fromordinal(after.toordinal() + 1)
            loop = self._as_changed(system).model_dump(mode="json")
            made.insert(0, self._made(after, day, "set_up", {"system": loop}, -1))
        return tuple(made)

    def _as_changed(self, system: System) -> System:
        names = {bed.name for bed in system.beds}
        for name in self.remove_beds:
            if name not in names:
                raise GardenError(
                    "remove_beds",
                    name,
                    one_of(sorted(names) or [tr("no beds")]),
                )
        kept = [bed.model_dump() for bed in system.beds if bed.name not in self.remove_beds]
        beds = kept + [bed.model_dump() for bed in self.add_beds]
        return System.make({**system.model_dump(), **self.system, "beds": beds})

    def _made(self, after: date, day: date, kind: str, payload: dict[str, Any], number: int) -> LogEntry:
        if day <= after:
            raise GardenError(
                "log.on" if number >= 0 else "on",
                day,
                tr("must be after {day}, the day of the forecast").format(day=after),
            )
        at = datetime.combine(day, time(12), UTC)
        name = uuid.uuid5(uuid.NAMESPACE_OID, f"{self.name} {number}")
        return LogEntry.make({"uuid": name, "at": at, "author": "plan", "kind": kind, "payload": payload})


def parse_change(text: str, where: str = "change") -> Change:
    """Return the change that a TOML text describes; `where` names the text in errors.

    Raises
    ------
    FileError
        Naming field, value and what is allowed; also for a format newer than this program.
    """
    data = toml_of(text, where)
    found = data.get("format", CHANGE_FORMAT)
    if isinstance(found, int) and found > CHANGE_FORMAT:
        allowed = tr("this program reads change files up to format {n}; a newer one wrote this").format(n=CHANGE_FORMAT)
        raise FileError(where, "format", found, allowed)
    try:
        return Change.make(data)
    except GardenError as error:
        raise FileError(where, error.field, error.value, error.allowed) from None
