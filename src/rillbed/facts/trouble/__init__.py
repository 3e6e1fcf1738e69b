"""Triage as data: what can be seen, what may be the matter, what can be done, and what must not be done."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Literal

from rillbed.facts.load import Row, read_rows, rows_of

Kind = Literal["do", "stop", "test", "wait", "expert"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clue(Row):
    """One thing that can be seen, read or reckoned.

    Attributes
    ----------
    answers : tuple of str
        What it can be, most ordinary first where there is an order.
    base : tuple of float
        How often each answer comes in a loop picked at random; sums to 1.
    days : float
        How long an answer stays true.
    minutes : float
        What finding it out costs; 0: reckoned from others, nobody is asked.
    quantity : str
        For a reading: which one; `edges` part its answers, canonical units.
    of : str
        ``loop`` or ``source``: which water is read.
    """

    answers: tuple[str, ...]
    base: tuple[float, ...]
    days: float
    minutes: float = 0.0
    quantity: str = ""
    edges: tuple[float, ...] = ()
    of: Literal["loop", "source"] = "loop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding(Row):
    """One thing that may be the matter.

    Attributes
    ----------
    axis : str
        Findings of one axis exclude each other; those of different axes do not.
    prior : float
        Share among its axis before anything is known.
    urgency : int
        0 oxygen, 1 toxic nitrogen or poison, 2 pH and rates, 3 routine, 4 plants.
    quiet : bool
        Whether it means that nothing is the matter.
    likelihood : mapping
        ``clue.answer`` to how many times as often the answer comes here as in a loop picked at random; 1 where absent.
    do, harm : mapping of action to float
        What it gains, or costs, where this is so, in minutes of work (a bed of plants 10, the fish 100).
    retest, after_days, expect
        Which reading confirms it, when, and the code of what it should show.
    """

    axis: str
    prior: float
    urgency: int
    quiet: bool = False
    likelihood: dict[str, float] = field(default_factory=dict)
    do: dict[str, float] = field(default_factory=dict)
    harm: dict[str, float] = field(default_factory=dict)
    retest: str = ""
    after_days: float = 1.0
    expect: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Action(Row):
    """One thing to do, to stop, to test or to wait for.

    Attributes
    ----------
    minutes : float
        What doing it for nothing costs.
    hours : float
        By when.
    amount : str
        Name of what reckons its amount; empty if it has none.
    safe : bool
        Whether it harms nothing whatever the cause is.
    excludes : tuple of str
        Actions that it makes pointless or contradicts.
    only : tuple of str
        ``clue.answer`` of which at least one must have been told or read; always, where there is none.
    finds : str
        Clue that a test finds out: no test of what is known already.
    """

    kind: Kind
    minutes: float
    urgency: int
    hours: float
    amount: str = ""
    safe: bool = False
    excludes: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    finds: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ban(Row):
    """One thing not to do: when to say it unasked (`when`, at `chance` for findings), and its names (`asked`).

    `fish`: it holds only where fish live.
    """

    when: tuple[str, ...]
    chance: float
    urgency: int
    asked: tuple[str, ...] = ()
    fish: bool = False


@cache
def clues() -> dict[str, Clue]:
    """Return what can be seen, read or reckoned, by code."""
    return read_rows("trouble/clues.toml", Clue) | read_rows("trouble/readings.toml", Clue)


@cache
def findings() -> dict[str, Finding]:
    """Return what may be the matter, by code, axis by axis."""
    found: dict[str, Finding] = {}
    folder = files(__package__).joinpath("findings")
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.name.endswith(".toml"):
            found |= rows_of(file.read_text("utf-8"), Finding, f"trouble/findings/{file.name}")
    return found


@cache
def axes() -> dict[str, tuple[Finding, ...]]:
    """Return the findings of each axis."""
    names = dict.fromkeys(item.axis for item in findings().values())
    return {name: tuple(item for item in findings().values() if item.axis == name) for name in names}


@cache
def actions() -> dict[str, Action]:
    """Return what can be done, by code."""
    return read_rows("trouble/actions.toml", Action)


@cache
def bans() -> dict[str, Ban]:
    """Return what must not be done, by code."""
    return read_rows("trouble/refusals.toml", Ban)


def answer_likelihoods(finding: Finding, clue: Clue) -> tuple[float, ...]:
    """Chance of each answer to a clue where a finding holds: the base times the likelihood, summing to 1."""
    raw = [
        base * finding.likelihood.get(f"{clue.id}.{answer}", 1.0)
        for answer, base in zip(clue.answers, clue.base, strict=True)
    ]
    total = sum(raw)
    return tuple(item / total for item in raw)
