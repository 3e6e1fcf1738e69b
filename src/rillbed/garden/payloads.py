"""Fish, feed, plants and upkeep: what one log entry of each kind holds. Amounts are kept as typed."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, AwareDatetime, Field, model_validator

from rillbed.garden.base import Amount, Frozen
from rillbed.garden.errors import GardenError
from rillbed.garden.known import CropId, FeedId, JobId, SpeciesId, SupplyId
from rillbed.garden.system import System
from rillbed.tongue import tr


def _measured(unit: str, largest: float, zero: bool = False) -> AfterValidator:
    """Check an amount: convertible to `unit`, positive (or zero if `zero`) and at most `largest` of it."""

    def check(amount: Amount) -> Amount:
        size = amount.to(unit)
        if size < 0 or (size == 0 and not zero) or size > largest:
            text = tr("must be 0 or more, at most {most}") if zero else tr("must be more than 0, at most {most}")
            raise GardenError("", amount, text.format(most=f"{largest:g} {unit}"))
        return amount

    return AfterValidator(check)


Mass = Annotated[Amount, _measured("g", 1e6)]
Volume = Annotated[Amount, _measured("L", 1e6)]
Count = Annotated[int, Field(gt=0, le=1_000_000)]
Label = Annotated[str, Field(min_length=1, max_length=120)]
Text = Annotated[str, Field(max_length=4000)]


class Feeding(Frozen):
    """Feed given, by one person in one go or over the day."""

    feed: FeedId
    amount: Mass
    group: Label | None = None

    @property
    def grams(self) -> float:
        """Mass of feed as given, g."""
        return self.amount.to("g")


class FishIn(Frozen):
    """Fish put in; `weight` is the mean weight of one. Without a group name the entry's uuid names the group."""

    species: SpeciesId
    count: Count
    weight: Mass
    group: Label | None = None

    @property
    def weight_g(self) -> float:
        """Mean weight of one fish, g."""
        return self.weight.to("g")


class FishOut(Frozen):
    """Fish taken out alive or for the table; `total` is what they weighed together."""

    group: Label
    count: Count
    total: Mass | None = None
    reason: Literal["harvest", "moved"] = "harvest"


class FishDied(Frozen):
    """Fish found dead or missing."""

    group: Label
    count: Count
    removed: bool = True  # False: gone, so their nitrogen stayed in the loop


class FishWeighed(Frozen):
    """A weigh-in: `count` fish weighed `total` together."""

    group: Label
    count: Count
    total: Mass

    @property
    def weight_g(self) -> float:
        """Mean weight of one fish, g."""
        return self.total.to("g") / self.count


class Planted(Frozen):
    """Plants set out in a bed, or seed sown in a tray; exactly one of `bed` and `tray`.

    Without a planting name the entry's uuid names it.
    """

    crop: CropId
    count: Count
    bed: Label | None = None
    tray: Label | None = None
    from_tray: Label | None = None
    stage: Literal["seed", "seedling"] = "seedling"
    planting: Label | None = None

    @model_validator(mode="after")
    def _one_place(self) -> Self:
        if (self.bed is None) == (self.tray is None):
            raise GardenError("bed", self.bed or "nothing", tr("exactly one of bed and tray must be given"))
        return self


class Picked(Frozen):
    """A picking; `finished` when the plants came out with it. `count` plants, None = all of them."""

    planting: Label
    amount: Mass | None = None
    count: Count | None = None
    finished: bool = False

    @property
    def grams(self) -> float | None:
        """Fresh mass picked, g; None = not weighed."""
        return None if self.amount is None else self.amount.to("g")


class Removed(Frozen):
    """Plants taken out without a picking; `count` None = all that are left."""

    planting: Label
    count: Count | None = None
    reason: Text = ""


class Dosed(Frozen):
    """A supplement or ammonia source put into the water, by mass or by volume as typed."""

    substance: SupplyId
    amount: Amount
    strength_pct: Annotated[float, Field(gt=0, le=100)] | None = None
    density_g_ml: Annotated[float, Field(gt=0.5, lt=2)] | None = None

    @model_validator(mode="after")
    def _amount(self) -> Self:
        if self.grams is None and self.ml is None:
            raise GardenError("amount.unit", self.amount.unit, tr("needs a unit of mass or volume, e.g. g or mL"))
        if self.amount.value <= 0:
            raise GardenError("amount", self.amount, tr("must be more than 0"))
        return self

    @property
    def grams(self) -> float | None:
        """Mass, g; None when it was typed as a volume."""
        return _maybe(self.amount, "g")

    @property
    def ml(self) -> float | None:
        """Volume, mL; None when it was typed as a mass."""
        return _maybe(self.amount, "mL")


def _maybe(amount: Amount, unit: str) -> float | None:
    try:
        return amount.to(unit)
    except GardenError:
        return None


class WaterChanged(Frozen):
    """Water drained and the same volume of source water put back; `treated` = chlorine was removed first."""

    volume: Volume
    treated: bool = True

    @property
    def litres(self) -> float:
        """Volume exchanged, L."""
        return self.volume.to("L")


class ToppedUp(Frozen):
    """Water added for what left; `source` says which water."""

    volume: Volume
    source: Literal["source", "rain"] = "source"
    treated: bool = True

    @property
    def litres(self) -> float:
        """Volume added, L."""
        return self.volume.to("L")


class Cleaned(Frozen):
    """Solids taken out of a bed, a tank or a filter; `fraction` of what lay there left the loop."""

    what: Label
    fraction: Annotated[float, Field(gt=0, le=1)] = 1.0


class Upkeep(Frozen):
    """A job of upkeep was done; `name` tells several of one kind apart."""

    job: JobId
    name: str = ""
    text: Text = ""


class FeedChanged(Frozen):
    """From now on this feed is used."""

    feed: FeedId


class EquipmentStopped(Frozen):
    """Something stopped running."""

    equipment: Literal["pump", "air", "heater", "siphon", "light", "filter", "other"]
    name: str = ""


class EquipmentStarted(Frozen):
    """Something runs again."""

    equipment: Literal["pump", "air", "heater", "siphon", "light", "filter", "other"]
    name: str = ""


class Outage(Frozen):
    """Power was away from the moment of the entry `until` it came back; None = still away."""

    until: AwareDatetime | None = None


class Spray(Frozen):
    """Something sprayed on leaves."""

    substance: Label
    bed: Label | None = None
    amount: Amount | None = None


class Observation(Frozen):
    """Something seen, from a fixed list where possible, with free words beside it."""

    what: Label
    text: Text = ""


class Note(Frozen):
    """Free words."""

    text: Text


SPELL_DAYS: Final = 120
"""Longest spell away: the longest summer holidays of schools have about a hundred days."""


class Spell(Frozen):
    """Days away, both included, in which others feed: a school holiday, a journey. Known ahead, or told afterwards.

    `feed_share` is the part of the ration that is given meanwhile; `by` who gives it, empty for nobody.
    """

    name: Annotated[str, Field(min_length=1, max_length=80)]
    first: date
    last: date
    feed_share: Annotated[float, Field(ge=0, le=1)] = 0.0
    by: Annotated[str, Field(max_length=80)] = ""

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last < self.first:
            raise GardenError("last", self.last, tr("must not be before the first day, {day}").format(day=self.first))
        if (self.last - self.first).days >= SPELL_DAYS:
            allowed = tr("a spell has at most {n} days; this one begins on {day}")
            raise GardenError("last", self.last, allowed.format(n=SPELL_DAYS, day=self.first))
        if self.feed_share > 0.0 and not self.by:
            raise GardenError("by", "nobody", tr("who feeds must be said, or nothing is fed"))
        return self

    def covers(self, day: date) -> bool:
        """Whether a day lies in the spell."""
        return self.first <= day <= self.last


class SetUp(Frozen):
    """The whole loop as it stands from the moment of the entry."""

    system: System


class Withdrawn(Frozen):
    """Takes back the entry named in `supersedes`."""

    reason: Text = ""
