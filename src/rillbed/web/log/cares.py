"""Cautions that stand on a form of the log, and what is asked once more before it is written."""

from __future__ import annotations

from collections.abc import Sequence

from rillbed import facts, words
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import FishIn, Planted, Spray
from rillbed.garden.state import LoopState
from rillbed.plan.elements import food, sprays
from rillbed.words import elements as said
from rillbed.words.log_cares import CARES

ANY_LEAF = "lettuce_loose"  # a crop eaten raw: its cautions hold for every form that names none yet
HELD = ("never", "barrier", "unknown")


def cares(kind: str, state: LoopState, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """Give the cautions of a form before anything is chosen."""
    found = [*CARES.get(kind, ())]
    if kind == "planted":
        found += [said.caution(code) for code in food.at_planting(state.system, ANY_LEAF)]
    elif kind == "picked":
        found += [said.caution(code) for code in food.at_picking(state.system, log, ANY_LEAF, state.on)]
    elif kind in ("cleaned", "upkeep", "equipment_stopped", "equipment_started"):
        found.append(words.caution("upkeep.unplug"))
    elif kind == "outage":
        found.append(words.caution("electricity"))
    elif kind == "dosed":
        found.append(words.caution("base.caustic"))
    return tuple(found)


def asked_again(entry: LogEntry, state: LoopState, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """Say what speaks against an entry before it is written; whoever insists writes it all the same."""
    payload = entry.payload
    if not isinstance(payload, Spray):
        return ()
    found = sprays.check(payload.substance, system=state.system, entries=log, on=state.on)
    if found.verdict not in HELD:
        return ()
    return (*said.reasons((*found.why, *found.instead)), *(said.caution(code) for code in found.cautions))


def after(entry: LogEntry, state: LoopState) -> tuple[str, ...]:
    """Give what belongs to an entry once it is known what it is about: the law for a kind of fish, food for a crop."""
    payload = entry.payload
    if isinstance(payload, FishIn):
        row = facts.species()[payload.species]
        return tuple(f"{row.common_name}: {text}" for text in (row.legal_caution, row.care_note) if text)
    if isinstance(payload, Planted):
        general = set(food.at_planting(state.system, ANY_LEAF))
        return tuple(said.caution(c) for c in food.at_planting(state.system, payload.crop) if c not in general)
    return ()
