"""What happened: one typed entry at a time, append-only; a correction is a new entry that supersedes an old one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Self
from uuid import UUID

from pydantic import AwareDatetime, Field, SerializeAsAny, field_validator, model_validator

from rillbed.garden import payloads, readings
from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.tongue import later, tr

PAYLOADS: dict[str, type[Frozen]] = {
    "reading": readings.Reading,
    "temperature": readings.Temperature,
    "feeding": payloads.Feeding,
    "fish_in": payloads.FishIn,
    "fish_out": payloads.FishOut,
    "fish_died": payloads.FishDied,
    "fish_weighed": payloads.FishWeighed,
    "planted": payloads.Planted,
    "picked": payloads.Picked,
    "removed": payloads.Removed,
    "dosed": payloads.Dosed,
    "water_changed": payloads.WaterChanged,
    "topped_up": payloads.ToppedUp,
    "cleaned": payloads.Cleaned,
    "upkeep": payloads.Upkeep,
    "outage": payloads.Outage,
    "spray": payloads.Spray,
    "observation": payloads.Observation,
    "note": payloads.Note,
    "feed_changed": payloads.FeedChanged,
    "equipment_stopped": payloads.EquipmentStopped,
    "equipment_started": payloads.EquipmentStarted,
    "away": payloads.Spell,
    "set_up": payloads.SetUp,
    "withdrawn": payloads.Withdrawn,
}
VERSIONS: dict[str, int] = dict.fromkeys(PAYLOADS, 1)  # current version of each kind

UpCaster = Callable[[dict[str, Any]], dict[str, Any]]
# (kind, version) -> what turns a payload of that version into the next; old entries are read, never rewritten.
UP_CASTERS: dict[tuple[str, int], UpCaster] = {}


def up_cast(kind: str, version: int, payload: dict[str, Any]) -> dict[str, Any]:
    """Return a payload in the current version of its kind.

    Raises
    ------
    GardenError
        If the version is newer than this program knows, or no step leads on from it.
    """
    current = VERSIONS[kind]
    if version > current:
        allowed = tr("this program reads {kind} up to version {version}; a newer one wrote it")
        raise GardenError("version", version, allowed.format(kind=kind, version=current))
    for step in range(version, current):
        if (kind, step) not in UP_CASTERS:
            raise GardenError(
                "version", version, tr("no way is known to read version {n} of {kind}").format(n=step, kind=kind)
            )
        payload = UP_CASTERS[kind, step](payload)
    return payload


class LogEntry(Frozen):
    """One thing that happened.

    Parameters
    ----------
    uuid : UUID
        Made by whoever writes the entry, so that sending it twice is harmless.
    at : datetime
        When it happened, with offset.
    recorded_at : datetime
        When it was stored; decides between corrections. Defaults to `at`.
    author : str
        Who, in the user's own words.
    kind : str
        One of `PAYLOADS`.
    version : int
        Version of the kind; an older one is lifted to the current one on reading.
    payload : Frozen
        The type that belongs to `kind`.
    supersedes : UUID or None
        The entry that this one corrects or, with kind ``withdrawn``, takes back.
    """

    uuid: UUID
    at: AwareDatetime
    recorded_at: AwareDatetime
    author: Annotated[str, Field(max_length=80)] = ""
    kind: str
    version: Annotated[int, Field(ge=1)] = 1
    payload: SerializeAsAny[Frozen]
    supersedes: UUID | None = None

    @model_validator(mode="before")
    @classmethod
    def _typed(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        data = dict(data)
        data.setdefault("recorded_at", data.get("at"))
        kind, payload = data.get("kind"), data.get("payload", {})
        if not isinstance(kind, str):
            raise GardenError("kind", kind, tr("one of {kinds}").format(kinds=", ".join(PAYLOADS)))
        must_be_known("kind", kind, PAYLOADS, later("kind of entry"))
        if isinstance(payload, dict):
            version = data.get("version", VERSIONS[kind])
            if not isinstance(version, int) or version < 1:
                raise GardenError("version", version, tr("must be a whole number from 1"))
            try:
                data["payload"] = PAYLOADS[kind].make(up_cast(kind, version, payload))
            except GardenError as error:
                raise (error if error.field == "version" else error.within("payload")) from None
        data["version"] = VERSIONS[kind]
        return data

    @field_validator("payload")
    @classmethod
    def _is_typed(cls, payload: Frozen) -> Frozen:
        if type(payload) is Frozen:
            raise GardenError("payload", "empty", tr("needs the fields of its kind"))
        return payload

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if type(self.payload) is not PAYLOADS[self.kind]:
            allowed = tr("{kind} needs {payload}").format(kind=self.kind, payload=PAYLOADS[self.kind].__name__)
            raise GardenError("payload", type(self.payload).__name__, allowed)
        if self.supersedes == self.uuid:
            raise GardenError("supersedes", self.supersedes, tr("an entry cannot supersede itself"))
        if self.kind == "withdrawn" and self.supersedes is None:
            raise GardenError("supersedes", "nothing", tr("withdrawn needs the entry it takes back"))
        if (
            isinstance(self.payload, payloads.Outage)
            and self.payload.until is not None
            and self.payload.until < self.at
        ):
            raise GardenError(
                "payload.until", self.payload.until, tr("must not be before the start, {at}").format(at=self.at)
            )
        return self
