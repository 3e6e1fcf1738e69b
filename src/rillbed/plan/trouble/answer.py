"""What triage gives back: findings, actions, refusals, one question, the next test; codes and figures, no sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from rillbed.plan.advice import Reason, Value


@dataclass(frozen=True)
class Found:
    """One thing that may be the matter: how likely, and the clues that speak for and against it, strongest first."""

    code: str
    axis: str
    probability: float
    urgency: int
    evidence_for: tuple[Reason, ...] = ()
    evidence_against: tuple[Reason, ...] = ()
    grade: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Do:
    """One action.

    Attributes
    ----------
    code, kind
        Row of the table of actions; ``do``, ``stop``, ``test``, ``wait`` or ``expert``.
    amount, unit
        How much; ``None`` where it has no amount or none can be given yet.
    within_hours : float
        By when; 0 is now.
    rate : Reason or None
        How fast at most.
    because : tuple of str
        Findings it is for.
    details : tuple of mapping
        Steps or tanks, each with its own figures.
    gain : float
        What it is worth, minutes of work.
    """

    code: str
    kind: str
    urgency: int
    amount: float | None = None
    unit: str = ""
    within_hours: float = 0.0
    rate: Reason | None = None
    because: tuple[str, ...] = ()
    details: tuple[Mapping[str, Value], ...] = ()
    cautions: tuple[str, ...] = ()
    safe: bool = False
    gain: float = 0.0
    grade: str = ""
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Refused:
    """One thing not to do, and why."""

    code: str
    urgency: int
    why: tuple[Reason, ...] = ()
    asked: bool = False
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Question:
    """The fact worth most now.

    Attributes
    ----------
    code : str
        ``ask.`` and the clue, or ``ask.none``: no test would change this.
    answers : tuple of str
        Answers there are.
    worth, minutes : float
        What knowing it gains, and what finding out costs, both in minutes of work.
    changes : float
        Chance that the answer changes what is done.
    leads_to : mapping of answer to str
        Finding that would then be likeliest.
    interim : tuple of str
        Safe actions that stand whatever the answer is.
    """

    code: str
    clue: str = ""
    answers: tuple[str, ...] = ()
    worth: float = 0.0
    minutes: float = 0.0
    changes: float = 0.0
    leads_to: Mapping[str, str] = field(default_factory=dict)
    interim: tuple[str, ...] = ()


@dataclass(frozen=True)
class NextTest:
    """What to read next, on which day, and what it should show if the finding is right."""

    quantity: str
    on: date
    in_days: float
    expect: Reason
    because: str


@dataclass(frozen=True)
class Triage:
    """The whole answer, everything in the order of safety."""

    on: date
    findings: tuple[Found, ...]
    actions: tuple[Do, ...]
    refusals: tuple[Refused, ...]
    question: Question
    then_ask: Question | None
    next_tests: tuple[NextTest, ...]
    contradictions: tuple[Reason, ...] = ()
    hidden: tuple[Reason, ...] = ()
    unknown_basis: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    bands: tuple[Mapping[str, Value], ...] = ()
    assumed: tuple[str, ...] = ()
    wait: bool = False
