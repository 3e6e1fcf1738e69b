"""Going away: what somebody else feeds, what a pause does to the bacteria, and how to begin again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.fit import Posterior, forecast
from rillbed.garden.change import Change
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import SPELL_DAYS
from rillbed.garden.system import System
from rillbed.plan.ahead import rules_ahead
from rillbed.plan.bands import Band
from rillbed.plan.carry import carried
from rillbed.plan.feeding import FEED_QUANTILE
from rillbed.plan.members import band, quantile
from rillbed.plan.whatif import changed_rules
from rillbed.tongue import tr

LONGEST_DAYS = SPELL_DAYS
FAR_DAYS = 500  # a school year and the summer after it
SHARES = (0.0, 0.25, 0.5, 1.0)
MEMBERS = 60


@dataclass(frozen=True)
class Away:
    """What a stretch away comes to.

    Attributes
    ----------
    first, last : date
        Days away, both included.
    share : float
        Part of the ration that is fed in them, 0 to 1.
    feed : tuple of (date, float)
        Feed of each of those days, g, all groups together; on the cautious side of the middle.
    carried_g : Band
        Feed the bacteria carry on the day of return, g/day.
    ration_g : float
        Full ration on that day, g/day.
    begin_g : float
        What to begin with on return: the ration, or what nine futures of ten carry if that is less.
    weight_g : (Band, Band)
        Mean weight of a fish on the day before and on the day of return.
    ammonia_mg_l : Band
        Worst ammonia of the two weeks after, mg/L as N, if the ration is given in full at once.
    gain_g : Band
        What one fish gains in between, g; below zero it lives on itself.
    """

    first: date
    last: date
    share: float
    feed: tuple[tuple[date, float], ...]
    carried_g: Band
    ration_g: float
    begin_g: float
    weight_g: tuple[Band, Band]
    ammonia_mg_l: Band
    gain_g: Band


@dataclass(frozen=True)
class Shares:
    """The same stretch with several parts of the ration, the least first.

    `lowest` is the least of them at which fish keep their weight in nine futures of ten; None if at none of them.
    """

    rows: tuple[Away, ...]
    lowest: float | None

    @classmethod
    def of(cls, rows: Iterable[Away]) -> Shares:
        """Put runs of one stretch side by side."""
        told = tuple(rows)
        return cls(told, min((row.share for row in told if row.gain_g.low >= 0.0), default=None))


def check(on: date, first: date, last: date, share: float = 0.0) -> None:
    """Refuse a stretch that cannot be run through.

    Raises
    ------
    GardenError
        For days the wrong way round, before tomorrow, too many or too far ahead, or a share outside 0 to 1.
    """
    if first <= on:
        raise GardenError("first", first, tr("must be after {on}").format(on=on))
    if (far := on + timedelta(days=FAR_DAYS)) < first:
        raise GardenError("first", first, tr("must not be after {far}").format(far=far))
    if not first <= last <= first + timedelta(days=LONGEST_DAYS - 1):
        allowed = tr("must be from {first} to {n} days later").format(first=first, n=LONGEST_DAYS - 1)
        raise GardenError("last", last, allowed)
    if not 0.0 <= share <= 1.0:
        raise GardenError("share", share, tr("must be from 0 to 1"))


def shares(
    system: System,
    entries: Sequence[LogEntry],
    on: date,
    first: date,
    last: date,
    *,
    posterior: Posterior,
    members: int = MEMBERS,
) -> Shares:
    """Run the members through a stretch with nothing, a quarter, half and all of the ration.

    Raises
    ------
    GardenError
        As `away`.
    """
    return Shares.of(
        away(system, entries, on, first, last, share, posterior=posterior, members=members) for share in SHARES
    )


def away(
    system: System,
    entries: Sequence[LogEntry],
    on: date,
    first: date,
    last: date,
    share: float,
    *,
    posterior: Posterior,
    members: int = MEMBERS,
) -> Away:
    """Run the members through a stretch in which others feed.

    Parameters
    ----------
    on : date
        Day to answer for; the stretch begins after it.
    share : float
        Part of the ration in those days, 0 to 1.
    posterior : Posterior
        A fit of this loop.

    Raises
    ------
    GardenError
        As `check`.
    """
    check(on, first, last, share)
    change = Change.make({"name": "away", "away": [{"first": first, "last": last, "feed_share": share}]})
    standing = system_at(system, entries, on)
    rules = changed_rules(rules_ahead(system, entries, on), change, standing, on)
    back = last + timedelta(days=1)
    run = forecast(
        system, entries, on=on, horizon_days=(back - on).days + 14, members=members, future=rules, posterior=posterior
    )

    def fed(day: date) -> float:
        return quantile(run.at("feed_g_day", day).astype(float), run.weights, FEED_QUANTILE)

    carry = carried(run, back, standing.feed)
    ration = quantile(run.at("full_ration_g_day", back).astype(float), run.weights, FEED_QUANTILE)
    weight = [run.at("fish_weight_g", day).astype(float) for day in (first - timedelta(days=1), back)]
    after = run.columns["tan_mg_l"][run.index(back) :].astype(float).max(axis=0)
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return Away(
        first=first, last=last, share=share, feed=tuple((day, fed(day)) for day in days),
        carried_g=carry.feed_g_day, ration_g=ration, begin_g=min(ration, carry.feed_g_day.low),
        weight_g=(band(weight[0], run.weights), band(weight[1], run.weights)),
        ammonia_mg_l=band(after, run.weights),
        gain_g=band(weight[1] - weight[0], run.weights),
    )  # fmt: skip
