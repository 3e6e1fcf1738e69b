"""The one shape in which every plan answers: codes and numbers, never sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum

Value = float | int | str | bool | None | tuple["Value", ...]
Values = Mapping[str, Value]


class Urgency(IntEnum):
    """Order of safety, which never changes: a smaller number is dealt with first."""

    OXYGEN = 0
    TOXIC_NITROGEN = 1
    PH_RATE = 2
    ROUTINE = 3  # feed, readings, pickings: what keeps fish and log alive comes before new plants
    PLANTS = 4


@dataclass(frozen=True)
class Reason:
    """One step of the argument behind an advice: a code and the figures its sentence needs."""

    code: str
    values: Values = field(default_factory=dict)


@dataclass(frozen=True)
class Advice:
    """One thing to do (or to leave alone) today.

    Attributes
    ----------
    code : str
        Names the sentence, e.g. ``feed.ration`` or ``cycle.hold``.
    kind : str
        Group for the page: feed, dose, reading, plant, pick, wait or warn.
    amount, unit
        What to measure out; ``None`` and ``""`` when the advice has no amount.
    params : mapping
        Figures and ids the title needs.
    reasons : tuple of Reason
        The argument, in reading order.
    formula : str
        Code of the formula that gave the amount, ``""`` if none.
    facts : tuple of str
        Keys of the facts used (``facts.fact`` or ``table/row``), for the page of sources.
    cautions : tuple of str
        Codes of cautions that must stand on the action itself.
    urgency : Urgency
        Rank of safety.
    entry : mapping or None
        Kind and payload of the log entry the "done" button writes.
    expect : Reason or None
        What the next reading should show.
    """

    code: str
    kind: str
    amount: float | None = None
    unit: str = ""
    params: Values = field(default_factory=dict)
    reasons: tuple[Reason, ...] = ()
    formula: str = ""
    facts: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    urgency: Urgency = Urgency.ROUTINE
    entry: Mapping[str, object] | None = None
    expect: Reason | None = None


def dosed(substance: str, amount: float, unit: str = "g") -> Mapping[str, object]:
    """Entry that putting in so much of a substance writes; three figures, as a kitchen scale shows."""
    return {"kind": "dosed", "payload": {"substance": substance, "amount": {"value": figures(amount), "unit": unit}}}


def figures(amount: float) -> float:
    """Round to three significant figures; never to nothing.

    Examples
    --------
    >>> figures(22.3456), figures(0.03456)
    (22.3, 0.0346)
    """
    return float(f"{amount:.3g}")


def ordered(advice: list[Advice]) -> tuple[Advice, ...]:
    """Most urgent first; within one rank the order given stands, with what is left alone at its end."""
    return tuple(sorted(advice, key=lambda item: (item.urgency, item.kind == "wait")))
