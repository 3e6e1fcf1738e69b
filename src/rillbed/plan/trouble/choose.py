"""Which actions are worth it: what each gains over all that may be the matter, less its harm and its work."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from rillbed import facts
from rillbed.facts import trouble
from rillbed.plan.trouble.weigh import Chances, Signs

# What may wait six hours stands where half its worth puts it: salt for choking fish before a fish nobody meant to add.
HALF_H = 6.0


@cache
def _stakes() -> dict[str, dict[str, float]]:
    """Gain less harm of each action by finding."""
    found: dict[str, dict[str, float]] = {code: {} for code in trouble.actions()}
    for item in trouble.findings().values():
        for code, gain in item.do.items():
            found[code][item.id] = found[code].get(item.id, 0.0) + gain
        for code, harm in item.harm.items():
            found[code][item.id] = found[code].get(item.id, 0.0) - harm
    return found


def worth(
    chances: Chances, axes: frozenset[str] | None = None, barred: frozenset[str] = frozenset()
) -> dict[str, float]:
    """Weigh the gain of each action less its own work, minutes.

    Only findings of active axes count, and only from the chance on at which one thinks of them at all.
    """
    active = chances.active if axes is None else axes
    table, least = trouble.findings(), facts.value("trouble.counts")
    live = {f: p for f, p in chances.of.items() if table[f].axis in active and p >= least}
    return {
        code: sum(live[f] * gain for f, gain in stakes.items() if f in live) - trouble.actions()[code].minutes
        for code, stakes in _stakes().items()
        if code not in barred
    }


def pointless(signs: Signs) -> frozenset[str]:
    """Name the actions that make no sense with what was told: nobody stops a spray that nobody used."""
    clues = trouble.clues()

    def told(item: str) -> bool:
        clue, answer = item.split(".")
        return clue in signs and signs[clue][clues[clue].answers.index(answer)] > 0.0

    return frozenset(
        row.id
        for row in trouble.actions().values()
        if (row.only and not any(map(told, row.only))) or (row.finds and row.finds in signs)
    )


def chosen(net: Mapping[str, float]) -> tuple[str, ...]:
    """Actions worth taking; of two that exclude each other the better.

    In the order of safety, then of worth, the sooner the more; what is only waited for stands behind what is done.
    """
    table, least = trouble.actions(), facts.value("trouble.worth_least")
    kept: list[str] = []
    for code in sorted((item for item, value in net.items() if value > least), key=lambda item: -net[item]):
        if not any(code in table[other].excludes or other in table[code].excludes for other in kept):
            kept.append(code)
    return tuple(sorted(kept, key=lambda item: _place(item, net[item])))


def _place(code: str, net: float) -> tuple[int, bool, float]:
    row = trouble.actions()[code]
    return row.urgency, row.kind == "wait", -net / (1.0 + row.hours / HALF_H)


def because(code: str, chances: Chances) -> tuple[str, ...]:
    """Name the findings an action is for, the one that asks for it most first."""
    stakes = {
        f: chances.of.get(f, 0.0) * gain
        for f, gain in _stakes()[code].items()
        if gain > 0.0 and trouble.findings()[f].axis in chances.active
    }
    total = sum(stakes.values())
    return tuple(f for f, part in sorted(stakes.items(), key=lambda pair: -pair[1]) if part > 0.15 * total)
