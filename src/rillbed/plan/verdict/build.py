"""From draws, ends and lines to a band: the same steps for every quantity."""

from __future__ import annotations

import numpy as np

from rillbed import facts
from rillbed.plan.advice import Reason
from rillbed.plan.verdict.bands import LEVELS, Band, Level
from rillbed.plan.verdict.ladder import Ladder
from rillbed.plan.verdict.sampling import Floats
from rillbed.plan.verdict.waters import Waters


def shares(ranks: object) -> dict[Level, float]:
    """Share of the draws at each level."""
    found = np.asarray(ranks)
    return {level: float((found == place).mean()) for place, level in enumerate(LEVELS)}


def by_chance(probabilities: dict[Level, float]) -> Level:
    """Return the worst level that at least the tail of the draws reaches."""
    tail, total = facts.value("verdict.tail"), 0.0
    for level in reversed(LEVELS):
        total += probabilities[level]
        if total >= tail:
            return level
    return "safe"


def band(
    found: Waters,
    code: str,
    quantity: str,
    ladder: Ladder,
    draws: Floats,
    ends: tuple[float, float],
    unit: str,
    *,
    stands_on: tuple[str, ...] = (),
    ranks: object = None,
    end_levels: tuple[Level, Level] | None = None,
    applies: bool | None = None,
    reasons: tuple[Reason, ...] = (),
    more_facts: tuple[str, ...] = (),
) -> Band:
    """Build one band.

    Parameters
    ----------
    draws : (COUNT,)
        Values of the plausible waters.
    ends : (low, high)
        What the readings allow; infinite beyond a kit.
    stands_on : tuple of str
        Quantities it was reckoned from; ``quantity`` alone if empty.
    ranks : (COUNT,), optional
        Levels of the draws where the value alone does not tell (nitrite beside chloride).
    end_levels : (level, level), optional
        Levels of the two ends, likewise.
    applies : bool, optional
        Whether it concerns anything alive; whether fish live there if left out.
    """
    probabilities = shares(ladder.rank(draws) if ranks is None else ranks)
    at_ends = end_levels or (ladder.level(ends[0]), ladder.level(ends[1]))
    basis, age = found.weakest(*(stands_on or (quantity,)))
    worst = _worst(ladder, ends, at_ends)
    level = by_chance(probabilities)
    # An interval nobody read is a spread of members: its draws have spoken already.
    if found.ends[quantity].basis != "model" or found.ends[quantity].age_days is not None:
        level = max(level, *at_ends, key=LEVELS.index)
    level, extra = _lowest_step(found, quantity, level, probabilities, ends)
    line = ladder.decided(worst)
    if level != "safe" and line.grade == "memory":
        extra = (*extra, Reason("verdict.memory", {"limit": line.value, "unit": unit, "whom": line.whom}))
    if basis == "model":
        extra = (*extra, Reason("verdict.by_model", {"quantity": quantity}))
    elif age is not None and any(_stale(found, name) for name in (stands_on or (quantity,))):
        extra = (*extra, Reason("verdict.stale", {"quantity": quantity, "days": age}))
    return Band(
        quantity=quantity, code=code, level=level, probabilities=probabilities, worst=worst, low=ends[0], high=ends[1],
        unit=unit, limits=ladder.limits, binding=line.whom, applies=found.who.fish if applies is None else applies,
        age_days=age, basis=basis, reasons=(*reasons, *extra), grade=line.grade, sources=line.sources,
        facts=tuple(dict.fromkeys((*(item.key for item in ladder.lines), *more_facts))),
    )  # fmt: skip


def _worst(ladder: Ladder, ends: tuple[float, float], levels: tuple[Level, Level]) -> float:
    """Return the end that stands worse; of equals the one on the side that has the stricter lines."""
    if not ladder.below:
        return ends[1]
    if not ladder.above:
        return ends[0]
    low, high = (LEVELS.index(level) for level in levels)
    if low != high:
        return ends[0] if low > high else ends[1]
    below, above = ladder.below.get("watch"), ladder.above.get("watch")
    assert below is not None
    assert above is not None
    return ends[0] if ends[0] - below.value < above.value - ends[1] else ends[1]


def _lowest_step(
    found: Waters, quantity: str, level: Level, probabilities: dict[Level, float], ends: tuple[float, float]
) -> tuple[Level, tuple[Reason, ...]]:
    """Hold back an alarm that only says that a kit's lowest step is wide: none was found, none can be proven."""
    seen = found.seen(quantity)
    if (
        level != "act"
        or seen is None
        or not seen.fresh
        or seen.least > 0.0
        or seen.most > facts.value("start.clear_below")
        or quantity not in ("tan", "no2")
    ):
        return level, ()
    return "watch", (Reason("verdict.lowest_step", {"quantity": quantity, "high": seen.most}),)


def _stale(found: Waters, quantity: str) -> bool:
    seen = found.seen(quantity)
    return seen is not None and not seen.fresh
