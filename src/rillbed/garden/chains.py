"""Which entries count: chains of corrections resolved, in one order that no way of writing the log can change."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from datetime import datetime
from functools import cached_property
from typing import TypeVar, cast
from uuid import UUID

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.tongue import tr

Key = TypeVar("Key")
Value = TypeVar("Value")


class Told(tuple[LogEntry, ...]):
    """A log that is read once and asked often: what counts in it, and how it stood on a day, is worked out once."""

    counts = False  # whether every entry counts, in order

    @classmethod
    def settled(cls, standing: Iterable[LogEntry]) -> Told:
        """Make a log of entries that all count and stand in their order already."""
        told = cls(standing)
        told.__dict__["standing"] = tuple(told)
        told.counts = True
        return told

    @cached_property
    def standing(self) -> tuple[LogEntry, ...]:
        """What `effective` returns."""
        return tuple(effective(tuple(self)))

    @cached_property
    def _made(self) -> dict[str, tuple[object, object]]:
        return {}

    def once(self, what: str, key: Key, make: Callable[[], Value]) -> Value:
        """Return `what` as made for the same key last time, or make it; it must follow from log and key alone."""
        known, value = self._made.get(what, (None, None))
        if known != key:
            value = make()
            self._made[what] = (key, value)
        return cast("Value", value)

    def seen(self, more: Iterable[LogEntry]) -> Told:
        """Return the log with what is seen now: new entries that correct none, so that the rest counts as it did.

        Raises
        ------
        GardenError
            If a uuid occurs twice.
        """
        new = list(more)
        if any(entry.supersedes is not None for entry in new):
            return Told((*self, *new))
        by_uuid((*self, *new))
        return Told.settled(sorted((*self.standing, *new), key=lambda entry: (entry.at, entry.uuid)))


def merge(entries: Iterable[LogEntry], more: Iterable[LogEntry]) -> list[LogEntry]:
    """Return both logs as one; an entry that is sent again unchanged is harmless.

    Raises
    ------
    GardenError
        If one uuid stands for two different entries.
    """
    known = by_uuid(entries)
    for entry in more:
        # The time of storing is the receiver's, so it may differ between two copies of one entry.
        old = known.setdefault(entry.uuid, entry)
        if old.model_copy(update={"recorded_at": entry.recorded_at}) != entry:
            raise GardenError("uuid", entry.uuid, tr("another entry already has it"))
    return list(known.values())


def by_uuid(entries: Iterable[LogEntry]) -> dict[UUID, LogEntry]:
    """Return the entries under their uuid.

    Raises
    ------
    GardenError
        If a uuid occurs twice.
    """
    known: dict[UUID, LogEntry] = {}
    for entry in entries:
        if entry.uuid in known:
            raise GardenError("uuid", entry.uuid, tr("each entry needs its own; it occurs twice"))
        known[entry.uuid] = entry
    return known


def effective(entries: Iterable[LogEntry]) -> list[LogEntry]:
    """Return the entries that count, ordered by (at, uuid).

    Of each chain of corrections only the one recorded last counts; it takes the uuid of the first, so that what
    refers to the entry still finds it, and a corrected log equals one in which the mistake was never made.

    Raises
    ------
    GardenError
        For a uuid that occurs twice, a supersedes that leads to an unknown entry, in a circle or to another kind.
    """
    if isinstance(entries, Told):
        return list(entries.standing)
    known = by_uuid(entries)
    # Most entries were never corrected: looked up or copied one by one they cost more than all the rest of a page.
    chains: dict[UUID, list[tuple[datetime, int, UUID]]] = {}
    roots: dict[UUID, tuple[UUID, int, datetime]] = {}
    for entry in known.values():
        if entry.supersedes is None:
            continue
        root, depth, recorded = _root(entry, known, roots)
        if entry.kind not in (known[root].kind, "withdrawn"):
            allowed = tr("must be {kind} like the entry it corrects, or withdrawn").format(kind=known[root].kind)
            raise GardenError("kind", entry.kind, allowed)
        chains.setdefault(root, [(known[root].recorded_at, 0, root)]).append((recorded, depth, entry.uuid))
    standing = [entry for entry in known.values() if entry.supersedes is None and entry.uuid not in chains]
    for root, chain in chains.items():
        last = known[max(chain)[2]]
        if last.kind != "withdrawn":
            standing.append(last.model_copy(update={"uuid": root, "supersedes": None}))
    return sorted(standing, key=lambda entry: (entry.at, entry.uuid))


def _root(
    entry: LogEntry, known: dict[UUID, LogEntry], roots: dict[UUID, tuple[UUID, int, datetime]]
) -> tuple[UUID, int, datetime]:
    """Return (first of the chain, steps from it, time recorded: never before that of the entry it corrects)."""
    path: list[LogEntry] = []
    seen: set[UUID] = set()
    step = entry
    while step.uuid not in roots and step.supersedes is not None:
        if step.uuid in seen:
            raise GardenError("supersedes", entry.supersedes, tr("the corrections lead round in a circle"))
        seen.add(step.uuid)
        path.append(step)
        if step.supersedes not in known:
            raise GardenError("supersedes", step.supersedes, tr("no entry of this log has that uuid"))
        step = known[step.supersedes]
    found = roots.setdefault(step.uuid, (step.uuid, 0, step.recorded_at))
    for later in reversed(path):
        root, depth, recorded = found
        found = roots[later.uuid] = (root, depth + 1, max(recorded, later.recorded_at))
    return found


def digest(entries: Iterable[LogEntry]) -> str:
    """Return a hash of what counts in a log: equal for logs that tell the same story, whoever stored it when."""
    story = [
        entry.model_dump(mode="json", exclude={"recorded_at", "author", "at"}) | {"at": entry.at.timestamp()}
        for entry in effective(entries)
    ]
    return hashlib.sha256(json.dumps(story, sort_keys=True).encode()).hexdigest()
