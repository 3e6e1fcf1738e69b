"""Where a start-up stands, in sentences."""

from __future__ import annotations

from rillbed.plan.answers import CyclingPlan
from rillbed.plan.startup import Startup
from rillbed.tongue import tr
from rillbed.words import reason
from rillbed.words.learned import expected, standstill
from rillbed.words.numbers import between, chance, day, say


def verdict(plan: CyclingPlan) -> tuple[str, ...]:
    """Say when it will be done, or what tells that with fish in the water."""
    if plan.stage == "ready":
        return tr("The bacteria are ready."), tr("Begin with few fish.")
    if plan.path != "fishless":
        # No dose proves it with fish in the water, so there is no day of completion: the tests say it.
        return tr("Feed little while the bacteria grow."), tr("Two low tests say when to feed more.")
    low, middle, high = plan.completion
    if low is None or middle is None:
        return (tr("Not ready within the year ahead, as it stands."),)
    if high is None:
        likely = chance(plan.chance_within_horizon)
        return say("Ready from {day} on,", day=day(low)), say("{chance} within the year.", chance=likely)
    between_days = say("Ready between {low} and {high},", low=day(low), high=day(high))
    return between_days, say("even chances by {day}.", day=day(middle))


def carried(start: Startup) -> str:
    """Say what feed the bacteria carry now."""
    feed = start.carried.feed_g_day
    return say(
        "The bacteria carry {range} g of feed a day now, in 8 futures of 10.", range=between(feed.low, feed.high)
    )


def standing(start: Startup) -> tuple[str, ...]:
    """Say whether fish may go in, the feed carried, what holds it up, and what the next tests should read."""
    return (reason(start.fish), carried(start), *standstill(start), *(expected(one) for one in start.expected))
