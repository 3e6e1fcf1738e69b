"""Where a start-up stands, in sentences."""

from __future__ import annotations

from rillbed.plan.answers import CyclingPlan
from rillbed.plan.startup import Startup
from rillbed.words import reason
from rillbed.words.learned import expected, standstill
from rillbed.words.numbers import between, chance, day


def verdict(plan: CyclingPlan) -> tuple[str, ...]:
    """Say when it will be done, or what tells that with fish in the water."""
    if plan.stage == "ready":
        return ("The bacteria are ready.", "Begin with few fish.")
    if plan.path != "fishless":
        # No dose proves it with fish in the water, so there is no day of completion: the tests say it.
        return ("Feed little while the bacteria grow.", "Two low tests say when to feed more.")
    low, middle, high = plan.completion
    if low is None or middle is None:
        return ("Not ready within the year ahead, as it stands.",)
    if high is None:
        return (f"Ready from {day(low)} on,", f"{chance(plan.chance_within_horizon)} within the year.")
    return (f"Ready between {day(low)} and {day(high)},", f"even chances by {day(middle)}.")


def carried(start: Startup) -> str:
    """Say what feed the bacteria carry now."""
    feed = start.carried.feed_g_day
    return f"The bacteria carry {between(feed.low, feed.high)} g of feed a day now, in 8 futures of 10."


def standing(start: Startup) -> tuple[str, ...]:
    """Say whether fish may go in, the feed carried, what holds it up, and what the next tests should read."""
    return (reason(start.fish), carried(start), *standstill(start), *(expected(one) for one in start.expected))
