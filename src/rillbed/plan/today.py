"""What to do today, most urgent first, from the log's readings and the members' futures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.fit import Posterior
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, Values, ordered
from rillbed.plan.answers import Band, CyclingPlan, Level, ReadingDue, Room, Today
from rillbed.plan.buffer import alkalinity_advice
from rillbed.plan.chloride import chloride_advice
from rillbed.plan.crops import bed_kinds, coming_air_c, easiest_in_season
from rillbed.plan.cycling import is_starting
from rillbed.plan.cycling import plan as cycling_plan
from rillbed.plan.due import reading_advice, readings_due
from rillbed.plan.feeding import feed_advice, rations
from rillbed.plan.learned import Learned, basis_note
from rillbed.plan.limits import over_limit
from rillbed.plan.look import before_start, until
from rillbed.plan.members import band, quantile
from rillbed.plan.nutrients import nutrients, supplement_advice
from rillbed.plan.planting import plant_advice, plantable
from rillbed.plan.room import room as plant_room
from rillbed.plan.startup import startup
from rillbed.plan.warnings import water_warnings

GLANCE = (
    "tan_mg_l",
    "no2_mg_l",
    "no3_mg_l",
    "ph",
    "alkalinity_meq_l",
    "o2_min_mg_l",
    "temp_c",
    "fish_weight_g",
    "fish_biomass_g",
    "feed_g_day",
    "plant_area_m2",
    "k_mg_l",
    "ca_mg_l",
    "fe_mg_l",
)
FLOWS = ("n_feed", "n_dose", "n_excreted", "n_nitrified", "n_plants", "n_fish", "n_gas", "n_solids_out")
SOON_DAYS = 28
PICKED = ("food.hands_and_knife", "food.rinse_and_chill")
OTHER_CROPS = 4


def today(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    known: Learned | None = None,
    posterior: Posterior | None = None,
) -> Today:
    """Everything to do and to know on one day.

    Parameters
    ----------
    system, entries
        The loop and its log; entries after ``on`` are ignored.
    forecast : Forecast
        Run up to ``on`` and at least four weeks beyond.
    on : date
        Day to answer for, inside the forecast.
    known : Learned, optional
        What the fit behind the forecast says of itself; without it the forecast is taken for general knowledge.
    posterior : Posterior, optional
        That fit; it may tell why a start-up stands still.

    Raises
    ------
    ValueError
        If ``on`` lies outside the forecast.
    """
    system = system_at(system, entries, on)
    log = until(system, entries, on)
    state = state_at(system, log, on)
    starting = is_starting(system, state)
    cycling: CyclingPlan | None = cycling_plan(system, log, forecast, on) if starting else None
    portions = rations(system, log, forecast, on)
    # Nitrate alone never releases planting after an inorganic start: room is shown once the loop runs.
    room = None if cycling is not None and cycling.stage != "ready" else _room(system, log, forecast, on, known)
    kinds = {group.species for group in state.groups.values() if group.count > 0}
    due = readings_due(system, log, on, starting=starting, alarm=over_limit(system, log, kinds))
    buffer = alkalinity_advice(
        system,
        log,
        state,
        forecast,
        on,
        starting=starting,
        next_dose_meq_l=cycling.dose_alkalinity_meq_l if cycling else 0.0,
    )
    asked = any(item.code == "base.read_first" for item in buffer)
    salt = chloride_advice(system, log, state, forecast, on, starting=starting)
    levels = nutrients(system, log, forecast, on)
    advice = [
        *water_warnings(system, log, state, forecast, on),
        *buffer,
        *salt,
        *(cycling.advice if cycling else ()),
        *feed_advice(portions, state.feed),
        *reading_advice(tuple(item for item in due if not (asked and item.quantity == "alkalinity"))),
        *_pickings(state, on),
        *((plant_advice(room),) if room is not None and system.beds else ()),
        *_additions(
            system, state, room, levels, forecast, on, busy=bool(salt) or any(a.kind == "dose" for a in buffer)
        ),
    ]
    done = ordered(advice)
    return Today(
        on=on,
        system=system.name,
        verdict=_verdict(done),
        advice=done,
        coming_up=_soon(forecast, on, state),
        readings_due=due,
        glance={name: band(forecast.at(name, on), forecast.weights) for name in GLANCE if _seen(forecast, name, on)},
        flows_g_n_day={name: _week_mean(forecast, name, on) for name in FLOWS},
        rations=portions,
        room=room,
        cycling=cycling,
        nutrients=levels,
        notes=(basis_note(known), *_notes(system, state, log)),
        stop=forecast.stop,
        digest=forecast.digest,
        basis=known.basis if known else "prior",
        known=known,
        start=None
        if cycling is None or known is None
        else startup(
            system,
            log,
            forecast,
            on,
            stage=cycling.stage,
            fish=state.fish_count > 0,
            cycled=known.cycled,
            posterior=posterior,
        ),
    )


def _room(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, known: Learned | None) -> Room | None:
    if not system.beds:
        return None
    answer = plant_room(system, log, forecast, on, known=known)
    others = [
        (crop, plantable(plant_room(system, log, forecast, on, crop=crop)))
        for crop in easiest_in_season(coming_air_c(system, on), OTHER_CROPS + 1, bed_kinds(system))
        if crop != answer.crop
    ]
    return replace(answer, instead=tuple((crop, count) for crop, count in others if count >= 1)[:OTHER_CROPS])


def _additions(
    system: System,
    state: LoopState,
    room: Room | None,
    levels: tuple[Level, ...],
    forecast: Forecast,
    on: date,
    *,
    busy: bool,
) -> tuple[Advice, ...]:
    """Supplements, where plants stand in the beds or find room."""
    planted = any(planting.standing for planting in state.plantings.values())
    if not planted and (room is None or not plantable(room)):
        return ()
    first = room.binding[0].limit if room is not None and room.binding else None
    missing = room.missing if room is not None else ()
    return supplement_advice(system, levels, forecast, on, busy=busy, first=first, missing=missing)


def _verdict(advice: tuple[Advice, ...]) -> Reason:
    jobs = [item for item in advice if item.kind in ("feed", "dose", "reading", "plant", "pick", "warn")]
    if any(item.kind == "warn" and item.urgency <= Urgency.PH_RATE for item in advice):
        return Reason("verdict.urgent", {"count": len(jobs)})
    return Reason("verdict.act", {"count": len(jobs)}) if jobs else Reason("verdict.calm")


def _pickings(state: LoopState, on: date) -> list[Advice]:
    table = facts.crops()
    out = []
    for planting in state.plantings.values():
        row = table[planting.crop]
        age = (on - state.system.day_of(planting.planted_at)).days
        wait = row.first_harvest_days_max
        since = planting.last_picked_at
        if since is not None:
            gap = row.regrowth_interval_d or 0.0
            if not gap or (on - state.system.day_of(since)).days < gap:
                continue
        if planting.standing and planting.bed is not None and age >= wait:
            why = Reason("pick.age", {"on": state.system.day_of(planting.planted_at).isoformat(), "days": int(wait)})
            if since is not None:
                last = state.system.day_of(since).isoformat()
                again: Values = {"on": last, "days": int(row.regrowth_interval_d or 0)}
                why = Reason("pick.again", again)
            params = {"crop": planting.crop, "bed": planting.bed, "planting": planting.name}
            entry = {"kind": "picked", "payload": {"planting": planting.name}}
            out.append(Advice("pick.ready", "pick", params=params, reasons=(why,), cautions=PICKED, entry=entry))
    return out


def _soon(forecast: Forecast, on: date, state: LoopState) -> tuple[Reason, ...]:
    at = on + timedelta(days=SOON_DAYS)
    if forecast.index(on) + SOON_DAYS > forecast.days:
        return ()
    no3 = band(forecast.at("no3_mg_l", at), forecast.weights)
    out = [Reason("soon.nitrate", {"low": no3.low, "high": no3.high})]
    if state.fish_count:
        weight, feed = (band(forecast.at(name, at), forecast.weights) for name in ("fish_weight_g", "feed_g_day"))
        out.append(Reason("soon.weight", {"low": weight.low, "high": weight.high}))
        out.append(Reason("soon.ration", {"low": feed.low, "high": feed.high}))
    return tuple(out)


def _seen(forecast: Forecast, name: str, on: date) -> bool:
    """Whether a column has anything to say: not without fish or plants."""
    values = forecast.at(name, on)
    return bool(np.isfinite(values).all()) and not (name.startswith(("fish", "feed", "plant")) and not values.any())


def _week_mean(forecast: Forecast, name: str, on: date) -> float:
    last = forecast.index(on)
    week = forecast.columns[name][max(1, last - 6) : last + 1]
    return quantile(week.mean(axis=0), forecast.weights, 0.5) if len(week) else 0.0


def _notes(system: System, state: LoopState, log: Sequence[LogEntry]) -> tuple[Reason, ...]:
    notes = []
    early = before_start(system, log)
    if system.startup_path == "running" and not state.fish_count:
        notes.append(Reason("note.no_fish"))
    if early:
        notes.append(Reason("note.before_start", {"count": len(early), "on": system.started_on.isoformat()}))
    if system.source_water.alkalinity_meq_l is None:
        notes.append(Reason("note.unknown_source", {"what": "alkalinity"}))
    return tuple(notes)


__all__ = ["Band", "ReadingDue", "is_starting", "today"]
