"""What is asked of a dose, and what comes back: a plan in steps, or a refusal with its numbers and a way out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band

Kind = Literal[
    "raise_ph", "raise_alkalinity", "lower_ph", "protect_nitrite", "dechlorinate", "iron", "dilute", "carbonate_media",
    "supplement",
]  # fmt: skip
KINDS: tuple[str, ...] = get_args(Kind)


@dataclass(frozen=True)
class Goal:
    """What a dose is to reach.

    Attributes
    ----------
    kind : str
        One of `KINDS`.
    target : float or None
        Where to get to: pH for ``raise_ph`` and ``lower_ph``, meq/L for ``raise_alkalinity`` and ``carbonate_media``,
        mg/L for ``iron`` (as Fe), ``protect_nitrite`` (chloride) and ``dilute``; ``None``: what the tables say.
    substance : str or None
        What the user wants to reach for, a row of the supplements or a household name.
    quantity : str
        For ``dilute``: what is to be brought down.
    litres : float or None
        For ``dechlorinate``: fresh water to be treated; ``None``: all water of the loop.
    each_litres : float or None
        For ``dilute``: size of one change; ``None``: the largest that is safe.
    source : mapping
        For ``dilute``: what was read in the fresh water, by quantity (``tan``, ``temperature``, ``ph``, ...), over
        what the system says of it.
    needs : mapping
        For ``supplement``: rise wanted by element, mg/L, and alkalinity in meq/L.
    room : mapping
        For ``supplement``: most that all doses together may bring of an element, mg/L; no bound where it is not named.
    """

    kind: Kind
    target: float | None = None
    substance: str | None = None
    quantity: str = "tan"
    litres: float | None = None
    each_litres: float | None = None
    source: Mapping[str, float] = field(default_factory=dict)
    needs: Mapping[str, float] = field(default_factory=dict)
    room: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"goal.kind = {self.kind!r}: must be one of {', '.join(KINDS)}")


@dataclass(frozen=True)
class Step:
    """One thing to put in (or to change): when, how much, how to dissolve it, and what it does.

    ``ph_at_once`` is pH before the air evens it out, ``ph_settled`` after; ``None`` where no figure can be given.
    ``adds_mg_l`` is what else it brings, mg/L by element.
    """

    day: int
    hour: int
    substance: str
    amount: float
    unit: str
    dissolve_l: float | None = None
    ph_before: float | None = None
    ph_at_once: float | None = None
    ph_settled: float | None = None
    adds_mg_l: Mapping[str, float] = field(default_factory=dict)
    notes: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class DosePlan:
    """Steps in order of time, the argument behind them, and the reading that should confirm them.

    Attributes
    ----------
    reached : float or None
        Where the last step gets to, in the unit of the goal.
    expect : tuple of Reason
        What the next readings should show.
    retest_day, retest_hour : int
        When to read again, counted from the first dose.
    again_days : Band or None
        Days until the same is needed again; ``None`` where nothing uses it up or no forecast was given.
    harm : float
        Share of the ensemble's weight in which the plan breaks a cap.
    """

    goal: Goal
    steps: tuple[Step, ...]
    reached: float | None = None
    expect: tuple[Reason, ...] = ()
    retest_day: int = 1
    retest_hour: int = 0
    again_days: Band | None = None
    reasons: tuple[Reason, ...] = ()
    not_to_do: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    harm: float = 0.0

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the published sources behind the figures used, each once."""
        return cited(self.facts)


@dataclass(frozen=True)
class Refusal:
    """No dose: the code of the rule, why with its figures, and what to do instead."""

    goal: Goal
    code: str
    why: tuple[Reason, ...]
    instead: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    ask: str | None = None

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the published sources behind the figures used, each once."""
        return cited(self.facts)


def cited(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Source keys of facts named ``family.name`` or ``table/row``, in order, each once."""
    found: dict[str, None] = {}
    for key in keys:
        table, slash, row = key.partition("/")
        record = getattr(facts, table)()[row] if slash else facts.fact(key)
        found |= dict.fromkeys(record.source)
    return tuple(found)
