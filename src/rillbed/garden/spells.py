"""Spells away that a log knows of: those to come, and those that were."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from uuid import UUID

from rillbed.garden.chains import effective
from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.tongue import tr


def spells(entries: Iterable[LogEntry]) -> tuple[tuple[LogEntry, Spell], ...]:
    """Return the spells that count with their entries, by their days."""
    found = [(entry, entry.payload) for entry in effective(entries) if isinstance(entry.payload, Spell)]
    return tuple(sorted(found, key=lambda pair: (pair[1].first, pair[1].last, pair[0].uuid)))


def spell_on(entries: Iterable[LogEntry], day: date) -> Spell | None:
    """Return the spell that a day lies in; of several the one in which least is fed, as in a run."""
    found = [spell for _, spell in spells(entries) if spell.covers(day)]
    return min(found, key=lambda spell: spell.feed_share, default=None)


def must_be_free(entries: Iterable[LogEntry], new: Spell, but: UUID | None = None) -> None:
    """Refuse a spell that shares days with another; `but` is the entry it takes the place of.

    Raises
    ------
    GardenError
        Naming the field, its day, and the spell that is in the way.
    """
    for entry, old in spells(entries):
        if entry.uuid != but and new.first <= old.last and old.first <= new.last:
            # Said at the end that lies in it.
            field = "first" if old.covers(new.first) else "last"
            allowed = tr("must not lie in another spell: {name}, {first} to {last}")
            told = allowed.format(name=old.name, first=old.first, last=old.last)
            raise GardenError(field, getattr(new, field), told)


def must_not_meet(entries: Iterable[LogEntry], new: Collection[UUID]) -> None:
    """Refuse a log in which a spell that comes in with the entries `new`, or is changed by one, shares days.

    Spells that met before do not stand in the way of other entries; of those the model takes the one in which least is
    fed.

    Raises
    ------
    GardenError
        Naming the entry, as `fold.check` does, the field, its day, and the spell that is in the way.
    """
    known = {entry.uuid: entry for entry in entries}
    came = {}
    for uuid in new:
        entry = known[uuid]
        while entry.supersedes is not None:
            entry = known[entry.supersedes]
        came[entry.uuid] = uuid
    standing = spells(known.values())
    told = [entry for entry, _ in standing]
    for entry, spell in reversed(standing):  # of two that come in together the later one is refused
        if entry.uuid in came:
            try:
                must_be_free(told, spell, but=entry.uuid)
            except GardenError as error:
                raise error.within(f"entry {came[entry.uuid]} ({entry.kind})") from None
