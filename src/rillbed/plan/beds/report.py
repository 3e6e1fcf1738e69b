"""From plants per option to a plan people can act on: batches, weeks, wishes, budgets, and what changed."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.beds.answers import Batch, Budget, Change, Line, Picking, PlantingPlan, Week, Wish
from rillbed.plan.beds.behaviour import picking_days, sown
from rillbed.plan.beds.chances import Chances, Held
from rillbed.plan.beds.options import Asked, Offer, instead
from rillbed.plan.beds.problem import Option
from rillbed.plan.beds.standing import Standing
from rillbed.plan.beds.why import Slack, one_each
from rillbed.plan.members import quantile

Floats = NDArray[np.float64]
WEEK = 7
HAIR = 1e-6
LEAST = 0.5  # a later batch of less than half a plant is none
SEED_DAYS = 31


def report(
    asked: Asked,
    choice: Offer,
    now: Standing,
    chances: Chances,
    held: Held,
    *,
    last: PlantingPlan | None,
    kept_by: tuple[str, ...],
    missing: tuple[str, ...],
    notes: tuple[Reason, ...],
    confidence: float,
) -> PlantingPlan:
    """Turn what was found into plain data."""
    plants = held.solution.plants
    slack = Slack(held.problem, held.solution, asked.on)
    new = tuple(
        batch(asked, choice, option, float(plants[j]), slack.why(j))
        for j, option in enumerate(held.problem.options)
        if plants[j] >= LEAST
    )
    batches = tuple(sorted((*now.batches, *new), key=lambda b: (b.plant_on, b.bed, b.crop)))
    planted = frozenset(b.crop for b in batches) | {w for b in batches if (w := asked.home.wish_of(b.crop))}
    refused = one_each([*choice.refused, *_left_out(asked, choice, plants, slack)], planted)
    for item in refused:
        named = str(item.values.get("crop", ""))
        other = instead(asked, named) if item.code != "beds.left_out" and named in asked.home.servings_week else None
        if other is not None:
            notes = (*notes, Reason("beds.note.instead", {"crop": named, "for_crop": other}))
    seeds: Counter[str] = Counter()
    for sort in new:
        if sort.sow_on is not None and (sort.sow_on - asked.on).days < SEED_DAYS:
            seeds[sort.crop] += sort.seeds
    return PlantingPlan(
        on=asked.on, confidence=confidence, kept=held.kept, weeks=weeks(asked, now, chances, plants, batches),
        batches=batches, wishes=wishes(asked, held, batches), kept_by=kept_by, missing=missing, refused=refused,
        changes=changes(asked, last, new), notes=notes, worth=held.solution.worth, bound=held.solution.bound,
        gap=held.solution.gap, rounds=held.rounds, firm_weeks=asked.firm, seeds=dict(sorted(seeds.items())),
    )  # fmt: skip


def batch(asked: Asked, choice: Offer, option: Option, count: float, why: tuple[Reason, ...]) -> Batch:
    """One option that is taken, with its dates."""
    crop = facts.crops()[option.crop]
    plant_on = asked.day(option.week)
    each = crop.yield_g_fresh_per_plant_per_harvest
    a_serving = crop.servings_per_plant_per_harvest or 1.0
    days = picking_days(crop)
    picks = tuple(
        Picking(plant_on + timedelta(days=day), count * servings, count * servings / a_serving * each)
        for day, (_, servings) in zip(days, option.picks, strict=False)
    )
    nursery = crop.nursery_days if crop.first_harvest_counted_from == "transplant" else 0
    source, sow_on = "direct", plant_on
    if nursery:
        source, sow_on = "sown", plant_on - timedelta(days=nursery)
    if option.trays is None and nursery:
        source = "bought" if asked.home.buys_seedlings else "tray"
    no_seed = source in ("bought", "tray")
    caution = choice.cautions.get((option.crop, option.bed, option.week))
    return Batch(
        option.crop, option.bed, count, count * option.area_m2, None if no_seed else sow_on,
        0 if no_seed else sown(crop, int(np.ceil(count))), source, plant_on, plant_on + timedelta(days=days[-1]), picks,
        firm=option.firm, locked=option.locked is not None, cautions=() if caution is None else (caution,), why=why,
    )  # fmt: skip


def lines(batches: tuple[Batch, ...], first: date, after: date) -> tuple[Line, ...]:
    """Everything to do from one day until before another, in its order."""
    out = []
    for b in batches:
        flags = {"firm": b.firm, "locked": b.locked}
        if b.source == "sown" and b.sow_on is not None and first <= b.sow_on < after:
            out.append(Line("sow", b.sow_on, b.crop, b.bed, b.seeds, **flags))
        if b.source != "standing" and first <= b.plant_on < after:
            what = "sow" if b.source == "direct" else "transplant"
            out.append(Line(what, b.plant_on, b.crop, b.bed, b.seeds if what == "sow" else b.count, **flags))
        out += [
            Line("pick", p.on, b.crop, b.bed, b.count, p.servings, **flags) for p in b.picks if first <= p.on < after
        ]
    return tuple(sorted(out, key=lambda line: (line.on, line.what, line.crop, line.bed)))


def weeks(
    asked: Asked, now: Standing, chances: Chances, plants: Floats, batches: tuple[Batch, ...]
) -> tuple[Week, ...]:
    """Weeks with what to do, what stands, and what is left of every element."""
    nothing = {e: np.zeros_like(table) for e, table in chances.stores.items()}
    taken = nothing | chances.taken(plants)
    standing_m2 = {name: table.copy() for name, table in now.area_m2.items()}
    places = now.tray_places.copy()
    for b in batches:
        if b.source == "standing":
            continue
        first, end = asked.week(b.plant_on), asked.week(b.until)
        standing_m2[b.bed][first : end + 1] += b.area_m2
        if b.source == "sown" and b.sow_on is not None:
            places[max(0, asked.week(b.sow_on)) : first] += b.seeds
    out = []
    for w in range(asked.weeks):
        budgets = tuple(_budget(chances, taken, element, w) for element in chances.stores)
        used = {b.element: 1.0 - b.left_g / b.without_g if b.without_g > 0.0 else 1.0 for b in budgets}
        start = asked.day(w)
        out.append(
            Week(
                start,
                lines(batches, start, asked.day(w + 1)),
                {n: float(t[w]) for n, t in standing_m2.items()},
                float(places[w]),
                budgets,
                max(used, key=lambda e: used[e]) if used else None,
            )
        )
    return tuple(out)


def _budget(chances: Chances, taken: dict[str, Floats], element: str, week: int) -> Budget:
    # A hair beyond the share that may break, for the first member that must not.
    weights, q = chances.weights, 1.0 - chances.confidence + HAIR
    store = chances.stores[element][week]
    return Budget(element, quantile(store, weights, q), quantile(store - taken[element][week], weights, q))


def wishes(asked: Asked, held: Held, batches: tuple[Batch, ...]) -> tuple[Wish, ...]:
    """How far each wish is met."""
    out = []
    for name, wanted in asked.home.servings_week.items():
        eaten, wasted = held.solution.eaten[name], held.solution.wasted[name]
        days = [
            pick.on for b in batches if asked.home.wish_of(b.crop) == name for pick in b.picks if pick.on >= asked.on
        ]
        out.append(
            Wish(
                name,
                wanted,
                float(eaten[: asked.firm].mean()),
                float(eaten.mean()),
                float(wasted.mean()),
                min(days, default=None),
            )
        )
    return tuple(out)


def changes(asked: Asked, last: PlantingPlan | None, new: tuple[Batch, ...]) -> tuple[Change, ...]:
    """Firm batches that differ from those of the last plan which still lay ahead."""
    if last is None:
        return ()

    def table(items: tuple[Batch, ...], until: date) -> Counter[tuple[str, str, int]]:
        out: Counter[tuple[str, str, int]] = Counter()
        for b in items:
            if b.firm and b.source != "standing" and asked.on <= b.plant_on < until:
                out[b.crop, b.bed, asked.week(b.plant_on)] += round(b.count)
        return out

    # Weeks that only now come within the firm ones are new to both.
    until = min(asked.day(asked.firm), last.on + timedelta(days=WEEK * last.firm_weeks))
    before, after = table(last.batches, until), table(new, until)
    keys = sorted({k for k in before.keys() | after.keys() if before[k] != after[k]}, key=lambda k: (k[2], k[1], k[0]))
    return tuple(Change(crop, bed, asked.day(w), before[crop, bed, w], after[crop, bed, w]) for crop, bed, w in keys)


def _left_out(asked: Asked, choice: Offer, plants: Floats, slack: Slack) -> list[Reason]:
    """Why a crop with options got none: what its best option runs against."""
    out = []
    for crop in dict.fromkeys(o.crop for o in choice.options):
        mine = [j for j, o in enumerate(choice.options) if o.crop == crop]
        if not any(plants[j] >= LEAST for j in mine):
            best = max(mine, key=lambda j: (choice.options[j].firm, len(choice.options[j].picks), -j))
            first = slack.why(best)[0]
            out.append(Reason("beds.left_out", {"crop": crop, "because": first.code, **_prefixed(first)}))
    return out


def _prefixed(reason: Reason) -> dict[str, float | int | str | bool | None]:
    plain = {k: v for k, v in reason.values.items() if not isinstance(v, tuple)}
    return {("for_crop" if k == "crop" else k): v for k, v in plain.items()}
