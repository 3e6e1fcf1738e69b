"""From clues to chances: within each axis the priors times what each clue says for each finding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from math import log

from rillbed import facts
from rillbed.facts import trouble

# Weight on each answer of a clue, summing to 1: all on one where it was told, spread where a reading is an interval.
Signs = Mapping[str, tuple[float, ...]]

# Axes nobody is asked about until something was seen there: a pH alone makes no leaf yellow.
SEEN_FIRST = {
    "look": ("colour", "sludge", "smell", "daily_swing"),
    "ph": ("ph", "alkalinity", "rebound", "fizz", "daily_swing", "acid", "base"),
    "nitrogen": ("tan", "no2", "pump", "washed", "medicine", "leftovers", "missing_fish", "change", "power", "kit"),
    "plants": ("leaf", "pattern", "pests"),
    "roots": ("leaf", "pattern", "roots"),
}


@dataclass(frozen=True)
class Chances:
    """Chance of each finding; `active`: axes in which something is more suspect than before anything was known."""

    of: Mapping[str, float]
    active: frozenset[str]


@cache
def likelihoods(finding: str, clue: str) -> tuple[float, ...]:
    """Chance of each answer to a clue where a finding holds."""
    return trouble.answer_likelihoods(trouble.findings()[finding], trouble.clues()[clue])


@lru_cache(maxsize=2**15)
def ratio(finding: str, clue: str, weights: tuple[float, ...]) -> float:
    """How many times as likely the sign is under a finding as in a loop picked at random."""
    base = trouble.clues()[clue].base
    return sum(w * p / b for w, p, b in zip(weights, likelihoods(finding, clue), base, strict=True) if w > 0.0)


def weigh(signs: Signs, skip: frozenset[str] = frozenset()) -> Chances:
    """Weigh all axes but those of ``skip``.

    Examples
    --------
    >>> chances = weigh({"gills": (0.0, 1.0, 0.0, 0.0)})
    >>> max((f.id for f in trouble.axes()["fish"]), key=chances.of.__getitem__)
    'nitrite_poisoning'
    """
    temper = facts.value("trouble.temper")
    found: dict[str, float] = {}
    active = set()
    for axis, members in trouble.axes().items():
        if axis in skip:
            continue
        total = sum(item.prior for item in members)
        raw = {item.id: item.prior / total for item in members}
        for clue, weights in signs.items():
            for item in members:
                raw[item.id] *= ratio(item.id, clue, weights) ** temper
        whole = sum(raw.values())
        found |= {code: value / whole for code, value in raw.items()}
        quiet = next(item for item in members if item.quiet)
        seen = axis not in SEEN_FIRST or any(clue in signs for clue in SEEN_FIRST[axis])
        if seen and found[quiet.id] < quiet.prior / total * 0.98:
            active.add(axis)
    return Chances(found, frozenset(active))


def evidence(finding: str, signs: Signs) -> list[tuple[float, str]]:
    """Each clue with the logarithm of what it says for a finding against the rest of its axis, strongest first."""
    item = trouble.findings()[finding]
    rest = [other for other in trouble.axes()[item.axis] if other.id != finding]
    total = sum(other.prior for other in rest)
    out = []
    for clue, weights in signs.items():
        others = sum(other.prior / total * ratio(other.id, clue, weights) for other in rest)
        out.append((log(max(ratio(finding, clue, weights), 1e-9) / max(others, 1e-9)), clue))
    return sorted(out, key=lambda pair: -abs(pair[0]))
