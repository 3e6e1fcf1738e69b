"""One sheet for whoever minds the loop while its keeper is away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.away import Away
from rillbed.plan.week import Task
from rillbed.tongue import tr
from rillbed.words import amount, between, day, listed, say, shoal
from rillbed.words.week import task


@dataclass(frozen=True)
class Sheet:
    """Everything the template shows."""

    stretch: str
    facts: tuple[tuple[str, str], ...]
    days: tuple[tuple[str, str, str], ...]
    back: tuple[str, ...]


def sheet(found: Away, coming: Iterable[Task], system: System, state: LoopState) -> Sheet:
    """Put the sheet together; readings and pickings are asked of nobody, feed is."""
    every = [item for item in coming if item.code in ("pick", "arrive") and not item.loose]
    meals = system.meals_per_day
    days = []
    for when, grams in found.feed:
        jobs = [task(item) for item in every if item.first == when]
        fed = (
            say("{grams:g} at each of {meals} meals", grams=grams / meals, meals=meals)
            if grams > 0.0
            else tr("no feed")
        )
        days.append((day(when), fed, ". ".join(jobs)))
    groups = [group for group in state.groups.values() if group.count]
    fish = [say("{n} {kind}", n=group.count, kind=shoal(group.name, group.species)) for group in groups]
    facts = (
        (tr("Fish"), listed(fish) if fish else tr("none")),
        (tr("Feed in the stretch"), amount(sum(grams for _, grams in found.feed), "g")),
        (tr("Water"), amount(1000.0 * system.total_volume_m3, "L", 3)),
    )
    return Sheet(
        say("{first:day} to {last:day}", first=found.first, last=found.last),
        facts,
        tuple(days),
        _back(found) if fish else (),
    )


def _back(found: Away) -> tuple[str, ...]:
    before, after = found.weight_g
    carried = between(found.carried_g.low, found.carried_g.high)
    worst = between(found.ammonia_mg_l.low, found.ammonia_mg_l.high)
    return (
        say(
            "The bacteria will then carry {carried} g of feed a day, in 8 futures of 10. Begin with {begin} a day; "
            "the whole ration is {ration}.",
            carried=carried,
            begin=amount(found.begin_g, "g"),
            ration=amount(found.ration_g, "g"),
        ),
        say(
            "Fed in full at once, the worst ammonia of two weeks would be {worst} mg/L as N. Test on the second day.",
            worst=worst,
        ),
        say(
            "One fish: {before} g before, {after} g on return.",
            before=between(before.low, before.high),
            after=between(after.low, after.high),
        ),
    )
