"""What the people around a loop eat: servings a week, dislikes, and whether seedlings are bought."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from rillbed import facts
from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.known import CropId
from rillbed.tongue import later, tr

Servings = Annotated[float, Field(gt=0, le=10_000)]
Weeks = Annotated[int, Field(ge=0, le=52)]


def wishable() -> dict[str, tuple[str, ...]]:
    """Give all that servings can be wished of: every crop, crop group and crop class, each with its crops."""
    table: dict[str, list[str]] = {}
    for name, crop in facts.crops().items():
        for key in {name, crop.crop_group, crop.crop_class}:
            table.setdefault(key, []).append(name)
    return {key: tuple(crops) for key, crops in table.items()}


class Household(Frozen):
    """What is eaten.

    Attributes
    ----------
    servings_week : mapping
        Servings a week by crop, crop group or crop class (ids of the crop table). A crop with a wish of its own
        serves that one alone, and a group with one leaves its class.
    dislikes : tuple of str
        Crops never planted.
    keeps_weeks : mapping
        Weeks a crop keeps once picked, where they differ from the table of practice.
    buys_seedlings : bool
        Whether seedlings are bought; otherwise a crop cannot go in before its tray has had its time.
    """

    servings_week: dict[str, Servings] = Field(min_length=1)
    dislikes: tuple[CropId, ...] = ()
    keeps_weeks: dict[CropId, Weeks] = Field(default_factory=dict)
    buys_seedlings: bool = False

    @model_validator(mode="after")
    def _known(self) -> Self:
        for name in self.servings_week:
            must_be_known(f"servings_week.{name}", name, wishable(), later("crop, crop group or crop class"))
        both = set(self.dislikes) & set(self.servings_week)
        if both:
            raise GardenError("dislikes", min(both), tr("must not also stand among servings_week"))
        return self

    def crops_of(self, wish: str) -> tuple[str, ...]:
        """Crops that serve a wish: the finest wish a crop belongs to has it; dislikes serve none.

        Raises
        ------
        KeyError
            If it is no wish of the household.
        """
        if wish not in self.servings_week:
            raise KeyError(wish)
        return tuple(crop for crop in wishable()[wish] if crop not in self.dislikes and self.wish_of(crop) == wish)

    def wish_of(self, crop: str) -> str | None:
        """Give the wish a crop serves, None where nobody asked for it."""
        row = facts.crops()[crop]
        own = (key for key in (crop, row.crop_group, row.crop_class) if key in self.servings_week)
        return next(own, None)
