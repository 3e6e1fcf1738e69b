"""What may be planted where and when, as options of the programme, and why the rest may not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.facts.living import Crop
from rillbed.garden.household import Household
from rillbed.garden.system import Bed, System
from rillbed.plan.advice import Reason
from rillbed.plan.beds.answers import Lock
from rillbed.plan.beds.behaviour import course, least_plants, picking_days, servings_a_picking
from rillbed.plan.beds.draws import draws
from rillbed.plan.beds.problem import Option
from rillbed.plan.beds.site import Seasons, bed_refusal, suits
from rillbed.plan.beds.standing import Standing

Floats = NDArray[np.float64]
WEEK = 7
TAIL_STEP = 3  # weeks between plantings beyond the firm ones
CROPS_A_WISH = 3  # crops tried for a wish that names a whole group


@dataclass(frozen=True)
class Offer:
    """All options, the draws of their kinds (kinds, weeks, members) by element, the kind of each, and refusals."""

    options: tuple[Option, ...]
    draws: Mapping[str, Floats]
    kinds: NDArray[np.intp]
    refused: tuple[Reason, ...]
    cautions: Mapping[tuple[str, str, int], Reason]


@dataclass(frozen=True)
class Asked:
    """What an offer is made from."""

    system: System
    home: Household
    forecast: Forecast
    on: date
    weeks: int
    firm: int
    elements: tuple[str, ...]
    locked: tuple[Lock, ...] = ()
    own: Mapping[str, float] = field(default_factory=dict)  # factor on the table's yield, from the grower's pickings

    @cached_property
    def seasons(self) -> Seasons:
        """The year of the place."""
        return Seasons(self.system)

    @property
    def starts(self) -> tuple[int, ...]:
        """Weeks in which may be planted: each firm one, and every few after."""
        return (*range(self.firm), *range(self.firm, self.weeks, TAIL_STEP))

    def day(self, week: int) -> date:
        """First day of a week of the plan."""
        return self.on + timedelta(days=WEEK * week)

    def week(self, day: date) -> int:
        """Week of the plan a day lies in."""
        return (day - self.on).days // WEEK


def offer(asked: Asked, now: Standing, before: Mapping[tuple[str, str, int], float]) -> Offer:
    """Make every option of the plan; `before` holds the counts of the last plan by crop, bed and week."""
    refused: list[Reason] = []
    found: list[tuple[Option, str, int]] = []
    cautions: dict[tuple[str, str, int], Reason] = {}
    tables: list[Mapping[str, Floats]] = []
    first_kind: dict[tuple[str, int], int] = {}
    for name in candidates(asked, refused):
        crop = facts.crops()[name]
        starts = _starts(asked, crop, refused)
        forced = {asked.week(lock.on): lock for lock in asked.locked if lock.crop == name and lock.on >= asked.on}
        weeks = sorted(set(starts) | set(forced))
        if not weeks:
            continue
        table, _ = draws(asked.system, asked.forecast, crop, asked.on, asked.weeks, weeks, asked.elements)
        for i, week in enumerate(weeks):
            first_kind[name, week] = sum(len(next(iter(t.values()), ())) for t in tables) + i
        tables.append(table)
        for bed in asked.system.beds:
            refusal = bed_refusal(crop, bed)
            locks = {week for week, lock in forced.items() if lock.bed == bed.name}
            if refusal is not None and not locks:
                refused.append(refusal)
                continue
            found += _in_bed(asked, now, crop, bed, weeks, locks, before, refused, cautions, refusal)
    elements = asked.elements
    every = {e: np.concatenate([t[e] for t in tables]) for e in elements} if tables else {}
    kinds = np.array([first_kind[name, week] for _, name, week in found], dtype=np.intp)
    return Offer(tuple(option for option, _, _ in found), every, kinds, tuple(refused), cautions)


def candidates(asked: Asked, refused: list[Reason]) -> tuple[str, ...]:
    """Crops tried: those named, and of a group the easiest few with a bed and a season; and whatever is locked."""
    out: list[str] = []
    for wish in asked.home.servings_week:
        fit = [name for name in asked.home.crops_of(wish) if facts.crops()[name].servings_per_plant_per_harvest]
        if wish in facts.crops():
            out += fit
            continue
        kinds = [bed.kind for bed in asked.system.beds]
        some = [n for n in fit if any(suits(facts.crops()[n], k) != "no" for k in kinds)]
        open_weeks = {n: len(_starts(asked, facts.crops()[n], None)) for n in some}
        order = sorted(
            (n for n in some if open_weeks[n]),
            key=lambda n: (facts.crops()[n].beginner_rank_1easy_5hard, -open_weeks[n], n),
        )
        if not order:
            refused.append(Reason("beds.nothing_for", {"wish": wish}))
        out += order[:CROPS_A_WISH]
    return tuple(dict.fromkeys([*out, *(lock.crop for lock in asked.locked)]))


def instead(asked: Asked, crop: str) -> str | None:
    """Give the easiest crop of the same group that has a bed and a season here, None where there is none."""
    group, kinds = facts.crops()[crop].crop_group, [bed.kind for bed in asked.system.beds]
    others = [
        row
        for row in facts.crops().values()
        if row.crop_group == group and row.id != crop and row.id not in asked.home.dislikes
    ]
    fit = [row for row in others if row.servings_per_plant_per_harvest and any(suits(row, k) != "no" for k in kinds)]
    open_now = [row for row in fit if _starts(asked, row, None)]
    return min(open_now, key=lambda row: (row.beginner_rank_1easy_5hard, row.id)).id if open_now else None


def _starts(asked: Asked, crop: Crop, refused: list[Reason] | None) -> list[int]:
    days = picking_days(crop)
    open_weeks, first = [], None
    for week in asked.starts:
        if week * WEEK + days[0] >= asked.weeks * WEEK:
            break
        no = asked.seasons.refusal(crop, asked.day(week), days[-1])
        if no is None:
            open_weeks.append(week)
        elif first is None:
            first = no
    if refused is not None and not open_weeks:
        refused.append(first or Reason("beds.too_long", {"crop": crop.id, "days": days[0], "weeks": asked.weeks}))
    return open_weeks


def _in_bed(
    asked: Asked,
    now: Standing,
    crop: Crop,
    bed: Bed,
    weeks: Sequence[int],
    locks: set[int],
    before: Mapping[tuple[str, str, int], float],
    refused: list[Reason],
    cautions: dict[tuple[str, str, int], Reason],
    refusal: Reason | None,
) -> list[tuple[Option, str, int]]:
    """Options of one crop in one bed."""
    wish = asked.home.wish_of(crop.id)
    middle = {name: np.array([np.median(values)]) for name, values in asked.forecast.params.items()}
    grown = course(asked.system, crop, [asked.day(w) for w in weeks], middle, (), light_share=1.0 - bed.shade_share)
    out, slow = [], None
    nursery = crop.nursery_days if crop.first_harvest_counted_from == "transplant" else 0
    for week, growth in zip(weeks, grown.growth, strict=True):
        forced = [k.count for k in asked.locked if (k.crop, k.bed, asked.week(k.on)) == (crop.id, bed.name, week)]
        caution = refusal or asked.seasons.refusal(crop, asked.day(week), picking_days(crop)[-1])
        if growth < facts.value("beds.least_growth"):
            slow = slow or Reason("beds.slow", {"crop": crop.id, "bed": bed.name, "share": float(growth)})
            caution = caution or slow
        if caution is not None and not forced:
            continue
        if caution is not None:
            cautions[crop.id, bed.name, week] = caution
        stock = not asked.home.buys_seedlings and nursery > WEEK * week
        if stock and crop.id not in now.seedlings and not forced:
            continue
        each = servings_a_picking(crop) * facts.value("beds.survives") * float(growth) * asked.own.get(crop.id, 1.0)
        days = [WEEK * week + day for day in picking_days(crop)]
        picks = tuple((day // WEEK, each) for day in days if day < WEEK * asked.weeks)
        trays = None
        if nursery and not stock and not asked.home.buys_seedlings:
            trays = (max(0, (WEEK * week - nursery) // WEEK), week, 1.0 / facts.value("beds.germinates"))
        option = Option(
            crop.id, bed.name, week, days[-1] // WEEK, 1.0 / crop.spacing_default_plants_m2,
            wish or "", picks, worth=1.0 if suits(crop, bed.kind) == "good" else facts.value("beds.possible_worth"),
            firm=week < asked.firm, trays=trays, stock=stock and not forced, locked=sum(forced) if forced else None,
            before=before.get((crop.id, bed.name, week), 0.0) if before and week < asked.firm else None,
            least=1 if stock else least_plants(crop),  # seedlings that stand ready are set out, however few
        )  # fmt: skip
        out.append((option, crop.id, week))
    if not out and slow is not None:
        refused.append(slow)
    elif not out and weeks:
        refused.append(Reason("beds.no_seedlings", {"crop": crop.id, "days": nursery}))
    return out
