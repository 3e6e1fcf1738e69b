"""A planting plan as plain data: batches with their dates, the same by week, budgets, wishes, and what changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from rillbed.plan.advice import Reason


@dataclass(frozen=True)
class Lock:
    """A line the user wants as it is: so many plants of a crop in a bed on a day."""

    crop: str
    bed: str
    on: date
    count: int


@dataclass(frozen=True)
class Picking:
    """One picking of a batch: servings as picked, and their fresh mass."""

    on: date
    servings: float
    grams: float


@dataclass(frozen=True)
class Batch:
    """Plants of one crop that go into one bed together.

    Attributes
    ----------
    sow_on : date or None
        None where the seedlings stand in a tray already or are bought.
    seeds : int
        Seeds to sow, more than plants set out.
    source : str
        tray, bought, standing (it grows already), sown (in a tray of this plan) or direct (into the bed).
    until : date
        Day of the last picking.
    firm : bool
        Whether its count is whole and meant to be acted on; a later one only shows that there is a way on.
    why : tuple of Reason
        What keeps it from being larger.
    """

    crop: str
    bed: str
    count: float
    area_m2: float
    sow_on: date | None
    seeds: int
    source: str
    plant_on: date
    until: date
    picks: tuple[Picking, ...]
    firm: bool = True
    locked: bool = False
    cautions: tuple[Reason, ...] = ()
    why: tuple[Reason, ...] = ()

    @property
    def servings(self) -> float:
        """Servings of all its pickings."""
        return sum(pick.servings for pick in self.picks)


@dataclass(frozen=True)
class Line:
    """One thing to do: sow, transplant or pick."""

    what: str
    on: date
    crop: str
    bed: str
    count: float
    servings: float = 0.0
    firm: bool = True
    locked: bool = False


@dataclass(frozen=True)
class Budget:
    """One element at the end of a week, g in the whole loop.

    ``left_g`` is what is above the floor once the plan has drawn, in the member at the promised share; without the
    plan it would be ``without_g``.
    """

    element: str
    without_g: float
    left_g: float


@dataclass(frozen=True)
class Week:
    """One week of the plan: what to do, what the beds hold, and what the water has left."""

    start: date
    lines: tuple[Line, ...]
    area_m2: Mapping[str, float]
    tray_places: float
    budgets: tuple[Budget, ...]
    binding: str | None


@dataclass(frozen=True)
class Wish:
    """Servings a week wished for, and those the firm weeks and the whole year give on the mean of a week."""

    name: str
    wanted: float
    served_firm: float
    served_year: float
    wasted: float
    first_on: date | None


@dataclass(frozen=True)
class Change:
    """A batch that this plan has otherwise than the last one: counts before and now."""

    crop: str
    bed: str
    on: date
    before: float
    now: float


@dataclass(frozen=True)
class PlantingPlan:
    """What to sow, set out and pick.

    Attributes
    ----------
    confidence, kept : float
        Share of the members that must keep every budget, and the share that does, by the affine pools.
    kept_by : tuple of str
        Elements taken as kept in stock by additions; ``missing`` are those that must be added first.
    gap : float
        How far from the best possible plan this may be, as a share of its worth; 0 is proven best.
    refused : tuple of Reason
        Crops wished for that are not planted, and why.
    """

    on: date
    confidence: float
    kept: float
    weeks: tuple[Week, ...]
    batches: tuple[Batch, ...]
    wishes: tuple[Wish, ...]
    kept_by: tuple[str, ...]
    missing: tuple[str, ...]
    refused: tuple[Reason, ...]
    changes: tuple[Change, ...]
    notes: tuple[Reason, ...]
    worth: float
    bound: float
    gap: float
    rounds: int
    firm_weeks: int
    seeds: Mapping[str, int] = field(default_factory=dict)
