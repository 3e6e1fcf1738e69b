"""From the log to state jumps: one entry of each kind becomes one or more events of the day it happened."""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from rillbed import facts
from rillbed.engine import pack
from rillbed.engine.future import Pause
from rillbed.engine.inputs import Event, Loop
from rillbed.engine.result import Array
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.system import System

AIR, FLOW, HEAT = "air_off", "flow_off", "heat_off"
STANDS_STILL = {"air": (AIR,), "pump": (FLOW,), "heater": (HEAT,)}
POWERED = (AIR, FLOW, HEAT)


Stands = Callable[[System], tuple[Loop, Mapping[str, Array]]]  # what a loop is to the steps, with its parameters


def events_of(system: System, entries: Iterable[LogEntry], start: date, on: date, stands: Stands) -> list[Event]:
    """State jumps of the effective log from `start` up to and including day `on`, in the order of the log."""
    events: list[Event] = []
    stopped: dict[tuple[str, str], datetime] = {}
    for entry in entries:
        day = system.day_of(entry.at)
        if not start <= day <= on:
            continue
        d = (day - start).days
        p: Any = entry.payload
        if entry.kind == "set_up":
            system = p.system
            loop, params = stands(system)
            feed = loop.feed if system.feed else None
            events.append(Event(d, "set_up", feed=feed, loop=loop, params=params))
        elif entry.kind == "outage":
            end = p.until or _midnight(on + timedelta(days=1), entry.at)
            events += stillness(system, POWERED, entry.at, end, start, on)
        elif entry.kind == "equipment_stopped" and p.equipment in STANDS_STILL:
            stopped.setdefault((p.equipment, p.name), entry.at)
        elif entry.kind == "equipment_started" and (p.equipment, p.name) in stopped:
            since = stopped.pop((p.equipment, p.name))
            events += stillness(system, STANDS_STILL[p.equipment], since, entry.at, start, on)
        elif entry.kind in JUMPS:
            event = JUMPS[entry.kind](d, p, str(entry.uuid), system)
            events += [event] if event is not None else []
    for (equipment, _), since in stopped.items():
        end = _midnight(on + timedelta(days=1), since)
        events += stillness(system, STANDS_STILL[equipment], since, end, start, on)
    return events


def events_to_come(
    system: System, planned: Iterable[LogEntry], start: date, on: date, last: date, stands: Stands
) -> list[Event]:
    """State jumps of entries that have not happened, after day `on` until `last`, for the loop as it stands then."""
    ahead = sorted((e for e in planned if system.day_of(e.at) > on), key=lambda e: (e.at, e.uuid))
    return events_of(system, ahead, start, last, stands)


def pauses_of(entries: Iterable[LogEntry]) -> tuple[Pause, ...]:
    """Spells away that the effective log knows of, past and to come, in the order of their days."""
    told = [entry.payload for entry in entries if isinstance(entry.payload, Spell)]
    found = [Pause(spell.first, spell.last, spell.feed_share) for spell in told]
    return tuple(sorted(found, key=lambda pause: (pause.first, pause.last, pause.feed_share)))


def stillness(
    system: System, kinds: tuple[str, ...], since: datetime, until: datetime, start: date, on: date
) -> list[Event]:
    """One event per kind and day on which something stood still, with the hours of that day."""
    events = []
    day = system.day_of(since)
    while day <= min(system.day_of(until), on):
        first = _hours(since, system) if day == system.day_of(since) else 0.0
        last = _hours(until, system) if day == system.day_of(until) else 24.0
        if last > first:
            hours = {"from_h": first, "to_h": last}
            events += [Event((day - start).days, kind, hours) for kind in kinds]
        day += timedelta(days=1)
    return events


def _hours(at: datetime, system: System) -> float:
    local = at.astimezone(UTC if system.time_zone == "UTC" else ZoneInfo(system.time_zone))
    return local.hour + local.minute / 60.0 + local.second / 3600.0


def _midnight(day: date, like: datetime) -> datetime:
    return datetime.combine(day, time(), like.tzinfo)


Jump = Callable[[int, Any, str, System], Event | None]


def _picked(d: int, p: Any, uuid: str, system: System) -> Event:
    if getattr(p, "finished", True):  # taken out, with or without a harvest
        share = {"share": 1.0} if p.count is None else {"count": float(p.count)}
        return Event(d, "pick", share, label=p.planting)
    return Event(d, "cut", label=p.planting)


def _fed(d: int, p: Any, uuid: str, system: System) -> Event:
    return Event(d, "feed", {"grams": p.grams}, label=p.group or "", feed=pack.feed_of(p.feed))


def _fish_in(d: int, p: Any, uuid: str, system: System) -> Event:
    return Event(d, "fish_in", {"count": p.count, "weight_g": p.weight_g}, p.species, p.group or uuid)


def _died(d: int, p: Any, uuid: str, system: System) -> Event:
    return Event(d, "fish_out", {"count": p.count, "left": 0.0 if p.removed else 1.0}, label=p.group)


def _planted(d: int, p: Any, uuid: str, system: System) -> Event | None:
    if p.bed is None:
        return None  # a tray draws nothing from the loop
    return Event(d, "plant", {"count": p.count}, p.crop, p.planting or uuid)


def _changed(d: int, p: Any, uuid: str, system: System) -> Event:
    return Event(d, "drain", {"share": min(p.litres / 1000.0 / system.total_volume_m3, 0.95)})


def _topped_up(d: int, p: Any, uuid: str, system: System) -> Event:
    return Event(d, "topup", {"m3": p.litres / 1000.0, "rain": float(p.source == "rain")})


def _cleaned(d: int, p: Any, uuid: str, system: System) -> Event:
    """Bacteria leave with the surface they sit on, solids with the place they lie in."""
    bed = next((bed for bed in system.beds if bed.name == p.what), None)
    media = sum(b.area_m2 for b in system.beds if b.kind == "media")
    outside = facts.choice("cleaning.elsewhere_share") if media else 1.0
    if bed is None:
        share = pack.wall_m2() / pack.nitrifying_m2(system) if p.what in {t.name for t in system.tanks} else 0.0
        solids = outside
    else:
        share = pack.bed_m2(bed) / pack.nitrifying_m2(system)
        solids = (1.0 - outside) * bed.area_m2 / media if bed.kind == "media" else 0.0
    return Event(d, "clean", {"kept": 1.0 - share * p.fraction, "solids": 1.0 - solids * p.fraction})


def _temperature(d: int, p: Any, uuid: str, system: System) -> Event | None:
    return Event(d, "temp", {"temp_c": p.temp_c}) if p.where == "water" else None


JUMPS: dict[str, Jump] = {
    "fish_in": _fish_in,
    "fish_out": lambda d, p, u, s: Event(d, "fish_out", {"count": p.count}, label=p.group),
    "fish_died": _died,
    "fish_weighed": lambda d, p, u, s: Event(d, "weigh", {"weight_g": p.weight_g}, label=p.group),
    "feeding": _fed,
    "feed_changed": lambda d, p, u, s: Event(d, "feed_kind", feed=pack.feed_of(p.feed)),
    "planted": _planted,
    "picked": _picked,
    "removed": _picked,
    "dosed": lambda d, p, u, s: Event(d, "dose", pack.dose_grams(p, s.products)),
    "water_changed": _changed,
    "topped_up": _topped_up,
    "cleaned": _cleaned,
    "temperature": _temperature,
}
