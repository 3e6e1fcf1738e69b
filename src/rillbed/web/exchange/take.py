"""A loop as a file, and a file into a loop: all of it or nothing, and tried first if one likes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from django.db import IntegrityError, transaction

from rillbed import __version__
from rillbed.garden.errors import GardenError
from rillbed.garden.exchange.archive import Package, packed
from rillbed.garden.exchange.cells import MOST_ERRORS, Fault, fault
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.tongue import many, tr
from rillbed.web import bridge
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import keep
from rillbed.web.incoming import timely, trusted
from rillbed.web.log.models import Loop
from rillbed.web.people.members import note

if TYPE_CHECKING:
    from django.contrib.auth.models import User

UUID_TEXT = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class Taken:
    """What came of a file.

    Attributes
    ----------
    loop : Loop or None
        Where it went; None if nothing was stored.
    stored, known : int
        Entries that are new, and that were there already.
    faults : tuple of Fault
        All that is wrong; nothing was stored then.
    """

    loop: Loop | None
    stored: int
    known: int
    faults: tuple[Fault, ...] = ()


def file_of(loop: Loop, author: str) -> bytes:
    """Give a loop with its whole log as a zip, and write down who took it."""
    data = packed(bridge.standing_system(loop), bridge.entries(loop), __version__)
    note(loop, author, "exported", f"{len(data)} bytes")
    return data


def name_of(loop: Loop) -> str:
    """Name the file, in letters that any disk takes."""
    plain = re.sub(r"[^a-z0-9]+", "-", loop.name.lower()).strip("-")[:40] or "loop"
    return f"rillbed-{plain}.zip"


def take_in(package: Package, person: User, loop: Loop | None, name: str, *, dry: bool) -> Taken:
    """Add what a file holds to a loop, or make one of it; with `dry` only say what would come of it."""
    if package.faults:
        return Taken(None, 0, 0, package.faults)
    entries, places = list(package.entries), dict(zip(package.entries, package.places, strict=True))
    try:
        with transaction.atomic():
            if loop is None:
                entries = [*_first(package, person, entries), *entries]
            faults = _faults(entries, {one.uuid: place for one, place in places.items()}, loop, name)
            if faults:
                return Taken(None, 0, 0, tuple(faults))
            kept = loop or _made(entries, person)
            stored = bridge.add(kept, *entries)
            if stored and not dry:
                note(kept, person.get_username(), "imported", f"{name}, {stored} entries")
            transaction.set_rollback(dry)
    except GardenError as error:
        where, row = _place(error, {str(one.uuid): place for one, place in places.items()}, name)
        return Taken(None, 0, 0, (fault(where, row, error),))
    except IntegrityError:
        again = GardenError("uuid", "twice", tr("somebody is taking in the same; try again"))
        return Taken(None, 0, 0, (fault(name, 0, again),))
    if stored and not dry:
        worker.wake()
    return Taken(None if dry else kept, stored, len(entries) - stored)


def _faults(
    entries: list[LogEntry], places: dict[object, tuple[str, int]], loop: Loop | None, name: str
) -> list[Fault]:
    """Say what is wrong with each entry by itself, and whether the file belongs to the loop."""
    began, known = _began(entries, loop)
    faults: list[Fault] = []
    set_ups = {one.uuid for one in entries if one.kind == "set_up"}
    if loop is not None and set_ups and not set_ups & known:
        allowed = tr("none is of {loop}: this is another loop; take it in as a new one").format(loop=loop.name)
        faults.append(
            fault(
                name,
                0,
                GardenError("set_up", many("{n} set-up", "{n} set-ups", len(set_ups)).format(n=len(set_ups)), allowed),
            )
        )
    for entry in entries:
        try:
            trusted(entry.author, "author")
            trusted(entry.payload.model_dump(mode="json"))
            timely(entry, began)
        except GardenError as error:
            where, row = places.get(entry.uuid, (name, 0))
            faults.append(fault(where, row, error))
            if len(faults) >= MOST_ERRORS:
                break
    return faults


def _began(entries: list[LogEntry], loop: Loop | None) -> tuple[System | None, set[object]]:
    there = [] if loop is None else bridge.entries(loop)
    try:
        return bridge.first_system(there or entries), {one.uuid for one in there if one.kind == "set_up"}
    except GardenError:
        return None, set()


def _first(package: Package, person: User, entries: list[LogEntry]) -> list[LogEntry]:
    """Give the set-up that a file has as a system only, as the entry that a log begins with."""
    if package.system is None or any(one.kind == "set_up" for one in entries):
        return []
    system = package.system
    zone = UTC if system.time_zone == "UTC" else ZoneInfo(system.time_zone)
    key = uuid5(NAMESPACE_URL, f"rillbed {system.model_dump_json()} {person.pk}")
    at = datetime.combine(system.started_on, time(), zone).astimezone(UTC)
    told = {"uuid": key, "at": at, "author": person.get_username(), "kind": "set_up", "payload": {"system": system}}
    return [LogEntry.make(told)]


def _made(entries: list[LogEntry], person: User) -> Loop:
    """Make the loop that the entries are of.

    Raises
    ------
    GardenError
        If they have no set-up.
    """
    loop = Loop.objects.create(name=bridge.first_system(entries).name)
    keep(loop, person)
    return loop


def _place(error: GardenError, places: dict[str, tuple[str, int]], name: str) -> tuple[str, int]:
    """Find the row that a refusal is about by the key that it names."""
    for key in UUID_TEXT.findall(f"{error.field} {error.value}"):
        if key in places:
            return places[key]
    return name, 0
