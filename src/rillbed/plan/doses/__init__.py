"""Doses that cannot hurt: amounts split inside hard caps, with pH at once and settled, or a refusal that says why."""

from __future__ import annotations

from collections.abc import Iterable

from rillbed.engine import Forecast
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.doses import acid, base, change, chlorine, iron, limits, media, mix, salt
from rillbed.plan.doses.added import Added, added
from rillbed.plan.doses.answer import KINDS, DosePlan, Goal, Refusal, Step
from rillbed.plan.doses.since import Since, moves, since, stands_on
from rillbed.plan.doses.water import Contradiction, Samples, Water, samples

__all__ = [
    "KINDS", "Added", "DosePlan", "Goal", "Refusal", "Samples", "Since", "Step", "Water", "added", "moves", "plan",
    "since", "stands_on",
]  # fmt: skip

Answer = DosePlan | Refusal


def plan(
    goal: Goal, water: Water, system: System, *, shelf: Iterable[str] | None = None, forecast: Forecast | None = None
) -> Answer:
    """Lay out doses for one goal.

    Parameters
    ----------
    goal : Goal
        What is to be reached.
    water : Water
        The water as read; `Water.of` takes it from a log.
    system : System
        The loop; its shelf, beds and source water are used.
    shelf : iterable of str or None
        Supplies at hand; ``None``: the system's.
    forecast : Forecast or None
        Members that fill in what was not read, and say how fast alkalinity is used.

    Raises
    ------
    ValueError
        For a goal, substance or figure that has no meaning.
    """
    own = tuple(system.shelf if shelf is None else shelf)
    refused = limits.forbidden(goal)
    if refused is not None:
        return refused
    if goal.kind == "protect_nitrite":
        return salt.plan(goal, water, own)
    if goal.kind == "dechlorinate":
        return chlorine.plan(goal, water, system, own)
    if goal.kind == "iron":
        return iron.plan(goal, water, own)
    try:
        sample = samples(water, forecast)
    except KeyError as error:
        if goal.kind == "dilute":
            return change.plan(goal, water, None, system, own)
        if goal.kind == "supplement":
            return mix.plan(goal, water, None, own, system.products)
        return limits.missing(goal, str(error.args[0]))
    except Contradiction:
        why = Reason("refuse.contradiction", {"quantities": ("ph", "alkalinity")})
        return Refusal(goal, "refuse.contradiction", (why,), (Reason("instead.read_again"),), ask="ph")
    if goal.kind == "dilute":
        return change.plan(goal, water, sample, system, own)
    if goal.kind == "lower_ph":
        return acid.plan(goal, water, sample, own, system)
    if goal.kind == "carbonate_media":
        return media.plan(goal, water, sample)
    if goal.kind == "supplement":
        return mix.plan(goal, water, sample, own, system.products)
    return base.plan(goal, water, sample, own)
