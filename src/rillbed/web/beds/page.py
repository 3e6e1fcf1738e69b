"""The beds as a page: this week, what grows, room over the year, the plan, what was picked."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import NAMESPACE_URL, UUID, uuid5

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, facts, words
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.answers import Room
from rillbed.plan.beds.answers import Batch, Line, PlantingPlan, Week
from rillbed.plan.beds.harvest import CropYield, Harvest
from rillbed.tongue import tr
from rillbed.web.beds import room as rooms
from rillbed.web.beds.rule import Rule
from rillbed.web.forecasts.plans import Planned
from rillbed.web.log.models import Loop
from rillbed.words import beds as said
from rillbed.words.numbers import amount, number, say

SHOWN_WEEKS, AHEAD_DAYS, SOON_DAYS = 8, 120, 21
TRAY = "tray"
MARKS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"  # plantings of a bed, in the order they went in
SLACK = 0.01  # of a bed: less over its area is a matter of rounding
G_PER_KG = 1000.0


@dataclass(frozen=True)
class Job:
    """One thing to do this week, with the entry it writes, or a door to the form that asks for more."""

    when: str
    title: str
    why: tuple[str, ...]
    cautions: tuple[str, ...]
    kind: str
    payload: str
    uuid: UUID
    door: str


@dataclass(frozen=True)
class WeekShown:
    """One week of the plan."""

    title: str
    lines: tuple[str, ...]
    budget: str


@dataclass(frozen=True)
class BatchShown:
    """One batch of the plan with its reasons, and what keeping it as it is would send."""

    text: str
    why: tuple[str, ...]
    crop: str
    bed: str
    on: str
    count: int
    key: UUID
    can_keep: bool
    locked: bool


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    verdict: str
    notes: tuple[str, ...]
    jobs: tuple[Job, ...]
    beds: tuple[tuple[str, str, tuple[str, ...]], ...]
    ground: SafeString | None
    calendar: SafeString | None
    room: SafeString | None
    room_columns: tuple[str, ...]
    room_rows: tuple[tuple[str, ...], ...]
    room_why: tuple[str, ...]
    outgrown: str
    room_title: str
    room_words: str
    weeks: tuple[WeekShown, ...]
    batches: tuple[BatchShown, ...]
    later: tuple[BatchShown, ...]
    served: tuple[str, ...]
    refused: tuple[str, ...]
    changes: tuple[str, ...]
    seeds: tuple[tuple[str, str], ...]
    harvest: tuple[tuple[str, ...], ...]
    harvest_lines: tuple[str, ...]
    age: str
    wants: bool


def page(
    system: System, state: LoopState, planned: Planned, picked: Harvest, loop: Loop, on: date, rule: Rule,
    room: Room | None,
) -> Page:  # fmt: skip
    """Lay out the beds of a loop on a day, with the feed rule somebody chose and the room of the last forecast."""
    plan, weeks = planned.plan, rule.over(planned.room)
    return Page(
        verdict=_verdict(plan, planned, system, on),
        notes=() if plan is None else said.summary(plan),
        jobs=() if plan is None else tuple(_job(line, plan, state, loop, on) for line in _this_week(plan, on)),
        beds=tuple(_bed(system, state, name) for name in [bed.name for bed in system.beds]),
        ground=_ground(system, state),
        calendar=_calendar(state, plan, on),
        room=rooms.picture(weeks, system, planned.crop, on),
        room_columns=rooms.columns(weeks), room_rows=rooms.rows(weeks),
        room_why=rooms.why(room, facts.feed_rate_bands()[rule.band]), outgrown=rooms.outgrown(room),
        room_title="" if not planned.crop else say("in square metres of {crop}", crop=said.crop(planned.crop)),
        room_words="" if not weeks else rooms.now(weeks[0]),
        weeks=() if plan is None else tuple(map(_week, plan.weeks[:SHOWN_WEEKS])),
        batches=_batches(plan, on, soon=True), later=_batches(plan, on, soon=False),
        served=() if plan is None else tuple(said.served(item) for item in plan.wishes),
        refused=() if plan is None else tuple(said.reason(item) for item in plan.refused),
        changes=() if plan is None else said.changes(plan.changes),
        seeds=() if plan is None else tuple((said.crop(name), f"{count}") for name, count in plan.seeds.items()),
        harvest=tuple(_picked(item) for item in picked.crops),
        harvest_lines=_sums(picked),
        age=_age(planned),
        wants=system.household is None,
    )  # fmt: skip


def _verdict(plan: PlantingPlan | None, planned: Planned, system: System, on: date) -> str:
    if not system.beds:
        return tr("No bed is set up.")
    if system.household is None:
        return tr("Say what your household eats, and a plan is made.")
    if plan is None:
        return tr(planned.problem) if planned.problem else tr("The plan is being worked out.")
    week = _this_week(plan, on)
    if not week:
        return tr("Nothing to sow, set out or pick this week.")
    by = {what: sum(1 for line in week if line.what == what) for what in ("sow", "transplant", "pick")}
    told = [
        tr("{count} to sow").format(count=by["sow"]) if by["sow"] else "",
        tr("{count} to set out").format(count=by["transplant"]) if by["transplant"] else "",
        tr("{count} to pick").format(count=by["pick"]) if by["pick"] else "",
    ]
    return say("This week: {jobs}.", jobs=words.listed(one for one in told if one))


def _this_week(plan: PlantingPlan, on: date) -> list[Line]:
    end = on + timedelta(days=6)
    return [line for week in plan.weeks[:2] for line in week.lines if line.firm and line.on <= end]


def _job(line: Line, plan: PlantingPlan, state: LoopState, loop: Loop, on: date) -> Job:
    batch = _batch_of(line, plan)
    why = () if batch is None else tuple(said.reason(item) for item in batch.why)
    cautions = () if batch is None else tuple(said.reason(item) for item in batch.cautions)
    count = max(1, round(line.count))
    kind, payload, door = "planted", {"crop": line.crop, "count": count, "bed": line.bed}, ""
    if line.what == "sow":
        payload = {"crop": line.crop, "count": count, "tray": TRAY, "stage": "seed"}
    elif line.what == "transplant" and any(tray.crop == line.crop and tray.standing for tray in state.trays.values()):
        tray = next(t for t in state.trays.values() if t.crop == line.crop and t.standing)
        payload |= {"from_tray": tray.tray or TRAY}
    elif line.what == "pick":
        kind, door = "picked", "picked"
    # With its count: what a later plan asks for beside it is another job, and is not taken for this one sent twice.
    key = uuid5(NAMESPACE_URL, f"rillbed plan {loop.pk} {line.what} {line.crop} {line.bed} {line.on} {count}")
    when = tr("Today") if line.on <= on else words.day(line.on)
    return Job(when, said.line(line), why, cautions, kind, json.dumps(payload), key, door)


def _batch_of(line: Line, plan: PlantingPlan) -> Batch | None:
    """Find the batch a line belongs to: there may be several of one crop in one bed."""
    for batch in plan.batches:
        days = {"sow": (batch.sow_on or batch.plant_on,), "transplant": (batch.plant_on,)}
        if (batch.crop, batch.bed) == (line.crop, line.bed) and line.on in days.get(
            line.what, tuple(pick.on for pick in batch.picks)
        ):
            return batch
    return None


def _ground(system: System, state: LoopState) -> SafeString | None:
    """Draw the beds from above, each planting by the area it takes at the usual spacing."""
    plots = []
    for bed in system.beds:
        stand = [one for one in state.plantings.values() if one.standing and one.bed == bed.name]
        patches = tuple(
            draw.Patch(MARKS[n % len(MARKS)], one.count / facts.crops()[one.crop].spacing_default_plants_m2)
            for n, one in enumerate(stand)
        )
        free = max(0.0, bed.area_m2 - sum(patch.area for patch in patches))
        plots.append(draw.Plot(bed.name, bed.area_m2, say("{area} free", area=amount(free, "m²")), patches))
    if not plots:
        return None
    summary = tr("The beds from above.") + " " + " ".join(f"{one.label}: {one.value}." for one in plots)
    return mark_safe(draw.ground(draw.Ground(summary, tuple(plots))))


def _bed(system: System, state: LoopState, name: str) -> tuple[str, str, tuple[str, ...]]:
    bed = next(one for one in system.beds if one.name == name)
    stand = [one for one in state.plantings.values() if one.standing and one.bed == name]
    used = sum(one.count / facts.crops()[one.crop].spacing_default_plants_m2 for one in stand)
    lines = tuple(
        say(
            "{mark}: {count} {crop}, since {day}",
            mark=MARKS[n % len(MARKS)],
            count=one.count,
            crop=said.crop(one.crop),
            day=words.day(system.day_of(one.planted_at)),
        )
        for n, one in enumerate(stand)
    )
    told = {"used": number(used), "area": amount(bed.area_m2, "m²"), "over": amount(used - bed.area_m2, "m²")}
    if used > bed.area_m2 * (1.0 + SLACK):
        taken = say(
            "{used} of {area} taken: {over} too much at the usual spacing. Pick or pull some before more goes in.",
            **told,
        )
    else:
        taken = say("{used} of {area} taken.", **told)
    return name, taken, lines or (tr("Nothing grows here."),)


def _calendar(state: LoopState, plan: PlantingPlan | None, on: date) -> SafeString | None:
    """Draw what grows and what is planned, a bar from setting out to the last picking."""
    spans = []
    if plan is not None:
        end = on + timedelta(days=2 * SOON_DAYS)
        for item in sorted(plan.batches, key=lambda one: (one.bed, one.plant_on)):
            if item.firm and item.plant_on <= end:
                label = f"{said.crop(item.crop)}, {item.bed}"
                value = say("{count} to {day}", count=number(item.count), day=words.day(item.until))
                spans.append(draw.Span(label, max(item.plant_on, on), item.until, value))
    else:
        for one in state.plantings.values():
            if one.standing and one.bed is not None:
                life = timedelta(days=round(facts.crops()[one.crop].days_in_bed_default))
                until = max(on, state.system.day_of(one.planted_at) + life)
                value = say("{count} to {day}", count=one.count, day=words.day(until))
                spans.append(draw.Span(f"{said.crop(one.crop)}, {one.bed}", on, until, value))
    if not spans:
        return None
    summary = tr("What grows and what is planned.") + " " + " ".join(f"{s.label}: {s.value}." for s in spans)
    return mark_safe(draw.weeks(draw.Weeks(summary, on, AHEAD_DAYS, tuple(spans))))


def _week(week: Week) -> WeekShown:
    last = week.start + timedelta(days=6)
    lines = tuple(f"{words.day(line.on)}: {said.line(line)}" for line in week.lines)
    return WeekShown(
        say("{first} to {last}", first=words.day(week.start), last=words.day(last)), lines, said.budget(week)
    )


def _batches(plan: PlantingPlan | None, on: date, *, soon: bool) -> tuple[BatchShown, ...]:
    """Give new batches that begin within `SOON_DAYS`, or those after; what stands already is shown with the beds."""
    if plan is None:
        return ()
    end = on + timedelta(days=SOON_DAYS)
    new = [item for item in plan.batches if item.firm and item.source != "standing"]
    return tuple(_batch(item, on) for item in new if ((item.sow_on or item.plant_on) <= end) is soon)


def _batch(item: Batch, on: date) -> BatchShown:
    key = uuid5(NAMESPACE_URL, f"rillbed keep {item.crop} {item.bed} {item.plant_on} {item.count} {on}")
    return BatchShown(
        said.batch(item), tuple(said.reason(one) for one in item.why), item.crop, item.bed, item.plant_on.isoformat(),
        max(1, round(item.count)), key,
        item.source != "standing" and item.plant_on >= on and not item.locked, item.locked,
    )  # fmt: skip


def _picked(item: CropYield) -> tuple[str, ...]:
    ratio = "–" if item.ratio is None else say("{n} of 10", n=number(10 * item.ratio))
    unweighed = f" ({say('{n} not weighed', n=item.unweighed)})" if item.unweighed else ""
    return (
        words.capital(said.crop(item.crop)), _mass(item.picked_g), number(item.servings),
        f"{item.pickings}{unweighed}", ratio, f"{item.lost_plants}",
    )  # fmt: skip


def _sums(picked: Harvest) -> tuple[str, ...]:
    mass, servings = _mass(picked.picked_g), amount(picked.servings, "servings")
    out = [say("{mass}, {servings} since {day}.", mass=mass, servings=servings, day=words.day(picked.first))]
    if picked.g_m2 is not None:
        out.append(say("{mass} for each square metre of bed.", mass=_mass(picked.g_m2)))
    if picked.g_per_kg_feed is not None:
        out.append(say("{mass} for each kilogram of feed.", mass=_mass(picked.g_per_kg_feed)))
    if picked.cost_per_kg is not None:
        out.append(say("Feed for a kilogram picked: {cost} by your price.", cost=number(picked.cost_per_kg)))
    return tuple(out)


def _mass(grams: float) -> str:
    return amount(grams / G_PER_KG, "kg") if grams >= G_PER_KG else amount(grams, "g")


def _age(planned: Planned) -> str:
    if planned.made_at is None:
        return ""
    return "" if planned.fresh else tr("This plan does not know the last entries yet; a new one is being worked out.")
