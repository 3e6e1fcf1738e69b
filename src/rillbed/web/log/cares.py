"""Cautions that stand on a form of the log, and what is asked once more before it is written."""

from __future__ import annotations

from collections.abc import Sequence

from rillbed import facts, words
from rillbed.garden.chains import effective
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Feeding, FishIn, Planted, Spray
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.elements import food, sprays
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.words import elements as said
from rillbed.words.happened import happened
from rillbed.words.log_cares import CARES

ANY_LEAF = "lettuce_loose"  # a crop eaten raw: its cautions hold for every form that names none yet
HELD = ("never", "barrier", "unknown")


def cares(kind: str, state: LoopState, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """Give the cautions of a form before anything is chosen."""
    found = list(words.cautions(CARES.get(kind, ())))
    if kind == "planted":
        found += [said.caution(code) for code in food.at_planting(state.system, ANY_LEAF)]
    elif kind == "picked":
        found += [said.caution(code) for code in food.at_picking(state.system, log, ANY_LEAF, state.on)]
    return tuple(found)


def asked_again(entry: LogEntry, state: LoopState, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """Say what speaks against an entry before it is written; whoever insists writes it all the same."""
    payload = entry.payload
    if isinstance(payload, Feeding):
        return fed_already(entry, state, log)
    if not isinstance(payload, Spray):
        return ()
    found = sprays.check(payload.substance, system=state.system, entries=log, on=state.on)
    if found.verdict not in HELD:
        return ()
    return (*said.reasons((*found.why, *found.instead)), *(said.caution(code) for code in found.cautions))


def fed_already(entry: LogEntry, state: LoopState, log: Sequence[LogEntry]) -> tuple[str, ...]:
    """Say who has fed on the day of a feeding, if that was somebody else or as often as the set-up says."""
    system, payload = state.system, entry.payload
    assert isinstance(payload, Feeding)
    day = system.day_of(entry.at)
    same = [
        one
        for one in effective(log)
        if isinstance(one.payload, Feeding) and one.payload.group == payload.group and system.day_of(one.at) == day
    ]
    if not same or (len(same) < system.meals_per_day and all(one.author == entry.author for one in same)):
        return ()
    told = [_told(one, system) for one in sorted(same, key=lambda one: one.at)]
    return (words.say("{day}, fed already:", day=words.day(day)), *told)


def _told(one: LogEntry, system: System) -> str:
    at = words.clock(clock.local(system, one.at))
    if one.author:
        return words.say("{what} at {at}, by {author}.", what=happened(one), at=at, author=one.author)
    return words.say("{what} at {at}.", what=happened(one), at=at)


def after(entry: LogEntry, state: LoopState) -> tuple[str, ...]:
    """Give what belongs to an entry once it is known what it is about: the law for a kind of fish, food for a crop."""
    payload = entry.payload
    if isinstance(payload, FishIn):
        row = facts.species()[payload.species]
        return tuple(f"{tr(row.common_name)}: {tr(text)}" for text in (row.legal_caution, row.care_note) if text)
    if isinstance(payload, Planted):
        general = set(food.at_planting(state.system, ANY_LEAF))
        return tuple(said.caution(c) for c in food.at_planting(state.system, payload.crop) if c not in general)
    return ()
