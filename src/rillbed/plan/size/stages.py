"""Building up in stages: fish only as fast as bacteria and plants can follow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from rillbed import engine, facts
from rillbed.garden.system import System
from rillbed.plan.bands import Band
from rillbed.plan.crops import crop_of, life_days
from rillbed.plan.members import quantile
from rillbed.plan.size.answer import Stage

MEMBERS, HORIZON_DAYS = 60, 150
DAYS_PER_WEEK = 7.0


def stages(
    system: System, fish_count: int, places: int, crops: Sequence[str], days_to_table: int, on: date
) -> tuple[Stage, ...]:
    """Give the steps from the first water to the first meal; a start without fish, by the model of this very loop."""
    ahead = engine.forecast(system, [], on=on, horizon_days=HORIZON_DAYS, members=MEMBERS)
    done = np.nan_to_num(np.asarray(ahead.completion, dtype=float), nan=float(HORIZON_DAYS))
    ready = Band(*(quantile(done, ahead.weights, q) / DAYS_PER_WEEK for q in (0.1, 0.5, 0.9)))
    nursery = max(crop_of(name).nursery_days or 0.0 for name in crops) / DAYS_PER_WEEK
    picked = min(crop_of(name).first_harvest_days_min or life_days(crop_of(name)) for name in crops) / DAYS_PER_WEEK
    wait = facts.value("size.lot_days") / DAYS_PER_WEEK
    first = max(1, round(facts.value("start.first_fish_share") * fish_count))
    half = min(max(0, round(fish_count / 2.0) - first), fish_count - first)
    found = [
        Stage("fill", Band(0.0, 0.0, 0.0)),
        Stage("sow", _later(ready, -nursery), max(1.0, places / 2.0 // 1)),
        Stage("first_fish", ready, first),
        Stage("plant", ready, max(1.0, places / 2.0 // 1)),
        Stage("first_picking", _later(ready, picked)),
    ]
    if half:
        found.append(Stage("more_fish", _later(ready, wait), half))
    if fish_count - first - half > 0:
        found.append(Stage("last_fish", _later(ready, 2.0 * wait), fish_count - first - half))
    found.append(Stage("first_meal", _later(ready, days_to_table / DAYS_PER_WEEK)))
    return tuple(sorted(found, key=lambda stage: stage.week.middle))


def _later(band: Band, weeks: float) -> Band:
    return Band(*(max(0.0, end + weeks) for end in (band.low, band.middle, band.high)))
