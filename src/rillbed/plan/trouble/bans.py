"""What must not be done here: said unasked where somebody is likely to reach for it, and refused where asked."""

from __future__ import annotations

from rillbed.facts import trouble
from rillbed.plan.advice import Reason
from rillbed.plan.trouble.answer import Refused
from rillbed.plan.trouble.signs import Scene
from rillbed.plan.trouble.weigh import Chances


def bans(scene: Scene, chances: Chances) -> tuple[Refused, ...]:
    """Every ban that holds, in the order of safety."""
    out = []
    for code, row in trouble.bans().items():
        asked = any(name in row.asked for name in scene.asked)
        why = tuple(reason for item in row.when if (reason := _holds(item, row.chance, scene, chances)) is not None)
        if row.fish and not scene.who.fish:
            continue
        if asked or why:
            out.append(Refused(f"refuse.{code}", row.urgency, why, asked, row.source))
    return tuple(sorted(out, key=lambda item: (not item.asked, item.urgency)))


def _holds(item: str, chance: float, scene: Scene, chances: Chances) -> Reason | None:
    if item.startswith("finding:"):
        code = item.removeprefix("finding:")
        active = trouble.findings()[code].axis in chances.active
        found = chances.of.get(code, 0.0)
        return Reason("why.finding", {"finding": code, "chance": found}) if active and found >= chance else None
    if item.startswith("clue:"):
        clue, answer = item.removeprefix("clue:").split(".")
        weights = scene.signs.get(clue)
        told = weights is not None and weights[trouble.clues()[clue].answers.index(answer)] > 0.5
        return Reason("why.clue", {"clue": clue, "answer": answer}) if told else None
    quantity, mark = item.replace("<=", ">=").split(">=")
    seen = scene.last(quantity)
    if seen is None or not seen.fresh:
        return None
    above = ">=" in item
    if (seen.most >= float(mark)) if above else (seen.least <= float(mark)):
        value = seen.most if above else seen.least
        return Reason("why.reading", {"quantity": quantity, "value": value, "mark": float(mark)})
    return None
