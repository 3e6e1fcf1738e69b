"""May this be sprayed over fish: a verdict before it is logged, with what to do instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches

from rillbed.facts import remedies
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason

PESTS = tuple(sorted({pest for row in remedies.sprays().values() for pest in row.against}))
# A name this like a known one is taken for a slip of the finger.
LIKENESS = 0.82
_ORDER = {"never": 0, "unknown": 1, "barrier": 2, "allowed": 3}


@dataclass(frozen=True)
class SprayCheck:
    """Whether something may go on leaves here.

    Attributes
    ----------
    typed : str
        What was asked for.
    found : tuple of str
        Rows of the table it stands for; several where a mixture names several.
    verdict : str
        allowed, barrier, never, or unknown: what is in no table does not go over fish.
    why, instead : tuple of Reason
        The argument, and what helps against the same pest without harm, gentlest first.
    cautions, sources : tuple of str
        Codes of cautions, keys of sources.
    """

    typed: str
    found: tuple[str, ...]
    verdict: str
    why: tuple[Reason, ...]
    instead: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """Whether it must not be done at all."""
        return self.verdict in ("never", "unknown")


def check(
    substance: str,
    *,
    pest: str | None = None,
    system: System | None = None,
    entries: Sequence[LogEntry] = (),
    on: date | None = None,
) -> SprayCheck:
    """Judge a spray by its name before it is used or logged.

    Parameters
    ----------
    substance : str
        What the user calls it; a mixture may name several things, and the worst of them decides.
    pest : str, optional
        One of `PESTS`: what it is meant against.
    system, entries, on
        The loop and its log; with them an empty loop is told from one with fish. Where they are missing there are fish.

    Raises
    ------
    ValueError
        For no name, or a pest that is in no table.
    """
    typed = " ".join(substance.split())
    if not typed:
        raise ValueError("substance: nothing was named; write what is in it")
    if pest is not None and pest not in PESTS:
        raise ValueError(f"pest = {pest!r}: must be one of {', '.join(PESTS)}")
    table = remedies.sprays()
    found = _found(typed.lower())
    if not found:
        unknown = (Reason("spray.unknown", {"substance": typed}),)
        return SprayCheck(typed, (), "unknown", unknown, _instead(pest), ("spray.label",))
    verdict = min((table[name].verdict for name in found), key=_ORDER.__getitem__)
    worst = [name for name in found if table[name].verdict == verdict]
    why: tuple[Reason, ...] = tuple(
        Reason(f"spray.{table[name].verdict}.{table[name].group}", {"spray": name}) for name in worst
    )
    if system is not None and on is not None and not state_at(system, entries, on).fish_count:
        why += (Reason("spray.no_fish_yet"),)
    mute = pest is not None and verdict != "never" and not any(pest in table[name].against for name in found)
    if mute:
        why += (Reason("spray.not_against", {"pest": pest}),)
    return SprayCheck(
        typed,
        found,
        verdict,
        why,
        _instead(pest) if verdict != "allowed" or mute else (),
        tuple(dict.fromkeys(code for name in found for code in table[name].cautions)),
        tuple(dict.fromkeys(key for name in found for key in table[name].source)),
    )


def against(pest: str) -> tuple[str, ...]:
    """Rows that help against a pest, gentlest first; nothing that is never used.

    Raises
    ------
    ValueError
        For a pest that is in no table.
    """
    if pest not in PESTS:
        raise ValueError(f"pest = {pest!r}: must be one of {', '.join(PESTS)}")
    return tuple(name for name, row in remedies.sprays().items() if pest in row.against)


def _instead(pest: str | None) -> tuple[Reason, ...]:
    if pest is None:
        return (Reason("spray.instead"),)
    gentle = [name for name in against(pest) if remedies.sprays()[name].verdict == "allowed"]
    return tuple(Reason("spray.use", {"spray": name}) for name in gentle) or (Reason("spray.instead"),)


def _found(typed: str) -> tuple[str, ...]:
    """Rows a text names; the longest names first, so that ``iron phosphate`` is not taken for something else."""
    words = f" {' '.join(''.join(c if c.isalnum() else ' ' for c in typed).split())} "
    known = sorted(((name, key) for key, row in remedies.sprays().items() for name in row.names), key=_longest)
    hits: dict[str, None] = {}
    for name, key in known:
        for form in (f" {name} ", f" {name}s "):
            if form in words:
                hits[key] = None
                words = words.replace(form, " | ")
    if not hits:
        near = get_close_matches(words.strip(), [name for name, _ in known], n=1, cutoff=LIKENESS)
        hits |= {key: None for name, key in known if name in near}
    return tuple(hits)


def _longest(item: tuple[str, str]) -> tuple[int, str]:
    return (-len(item[0]), item[0])
