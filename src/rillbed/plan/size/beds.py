"""What a square metre of bed gives and takes: portions, nitrogen, and the feed that brings it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine.pack import feed_of
from rillbed.facts.living import Crop
from rillbed.plan.bands import Band
from rillbed.plan.beds.behaviour import picking_days, servings_a_picking
from rillbed.plan.crops import easiest_in_season, life_days, take_up_g_day
from rillbed.plan.room import rule_for
from rillbed.science import feed as feeds

HIGH = 1.2816  # standard deviations at 90 %
DAYS_PER_WEEK = 7.0


@dataclass(frozen=True)
class Square:
    """One square metre, fully planted in crops of every age.

    Attributes
    ----------
    plants, servings_week : float
        Plants, and portions a week in season.
    n_g_day : Band
        Nitrogen taken up, over how well plants grow.
    rule_g_day : Band
        Feed by the feed rule.
    """

    plants: float
    servings_week: float
    n_g_day: Band
    rule_g_day: Band


def square(crops: Sequence[Crop]) -> Square:
    """Return a square metre shared evenly by crops."""
    takes = [float(take_up_g_day(c, "n").sum()) / life_days(c) * c.spacing_default_plants_m2 for c in crops]
    gives = [
        servings_a_picking(c) * len(picking_days(c)) * c.spacing_default_plants_m2 / life_days(c) * DAYS_PER_WEEK
        for c in crops
    ]
    rules = [facts.feed_rate_bands()[rule_for(c.crop_class)] for c in crops]
    spread = float(np.exp(HIGH * facts.priors()["dm_gain"].ln_sd))
    mean = float(np.mean(takes))
    low, high = (float(np.mean([getattr(r, f"{end}_g_m2_day") for r in rules])) for end in ("low", "high"))
    return Square(
        plants=float(np.mean([c.spacing_default_plants_m2 for c in crops])),
        servings_week=float(np.mean(gives)),
        n_g_day=Band(mean / spread, mean, mean * spread),
        rule_g_day=Band(low, (low + high) / 2.0, high),
    )


def plant_n_per_feed(feed: str | None, fcr: float, bed_kind: str) -> Band:
    """Give nitrogen that plants find in a gram of feed, g: dissolved and mineralised, less what leaves as gas."""
    prior = facts.priors()
    kind = "media" if bed_kind == "media" else "raft"
    solids, gas = prior[f"solids_share_{kind}"], prior["coupled_share" if kind == "media" else "coupled_share_raft"]
    given = float(feeds.nitrogen_g(1.0, feed_of(feed).protein))
    fate = feeds.nitrogen_fate(given, 1.0 / fcr, prior["uneaten"].median, prior["faecal"].median)
    ends = []
    for z in (-HIGH, 0.0, HIGH):
        comes = float(fate.dissolved) + float(fate.solids) * min(1.0, solids.median * float(np.exp(z * solids.ln_sd)))
        ends.append(comes * (1.0 - min(1.0, gas.median * float(np.exp(-z * gas.ln_sd)))))
    return Band(*ends)


def balance_g_day(bed_m2: float, per_m2: Square, per_feed: Band) -> Band:
    """Give feed that brings the nitrogen beds take, g/day."""
    n = per_m2.n_g_day
    pairs = (n.low, per_feed.high), (n.middle, per_feed.middle), (n.high, per_feed.low)
    return Band(*(bed_m2 * taken / brought for taken, brought in pairs))


def usual_crops(air_c: Sequence[float], bed_kind: str, many: int) -> tuple[str, ...]:
    """Give the easy leafy crops that suit most months of the year at a place, best first.

    Herbs are left out: a portion of them is a pinch, and fills nobody.
    """
    seasons: Counter[str] = Counter()
    for air in air_c:
        if air > facts.value("size.growing_c"):
            easy = easiest_in_season(air, 2 * many, {bed_kind})
            seasons.update([name for name in easy if not facts.crops()[name].crop_group.startswith("herb")][:many])
    return tuple(name for name, _ in seasons.most_common(many))
