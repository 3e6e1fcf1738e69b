import importlib.util
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from rillbed import facts
from rillbed.engine import Sowing, forecast
from rillbed.garden.errors import GardenError
from rillbed.plan.beds.year import room_by_week
from rillbed.plan.nutrients import COLUMN, FLOORS

spec = importlib.util.spec_from_file_location("planting_loops", Path(__file__).with_name("loops.py"))
loops = importlib.util.module_from_spec(spec)
spec.loader.exec_module(loops)
MIX = {"lettuce_loose": 0.5, "basil": 0.5}


@pytest.fixture(scope="module")
def ran():
    system, log, added = loops.made_up(12)
    on = loops.START + timedelta(days=60)
    future = loops.rules(system, log, on, added)
    return system, log, on, added, future, forecast(system, log, on=on, horizon_days=180, members=60, future=future)


def test_the_full_model_agrees_with_the_area_of_a_week(ran):
    system, log, on, added, future, bare = ran
    week = room_by_week(system, bare, on, MIX, supplemented=added, every=4)[1]
    assert week.next_m2 > 0.05
    limits = [e for e in FLOORS if e not in added]

    def broken(area):
        per = {c: share * area * facts.crops()[c].spacing_default_plants_m2 for c, share in MIX.items()}
        sown = tuple(Sowing(c, n, week.start) for c, n in per.items())
        run = forecast(system, log, on=on, horizon_days=180, members=60, future=replace(future, plantings=sown))
        rows = slice(run.index(week.start), run.index(week.start) + 98)
        low = [(run.columns[COLUMN[e]][rows] < FLOORS[e] - 1e-3).any(axis=0) for e in limits]
        return float(run.weights[np.any(low, axis=0)].sum())

    assert broken(week.next_m2) <= 0.2 + 1e-9
    assert broken(1.5 * week.next_m2) > 0.2


def test_more_kept_in_stock_never_means_less_room(ran):
    system, _, on, added, _, bare = ran
    for week in room_by_week(system, bare, on, MIX, supplemented=added):
        assert all(more >= week.next_m2 for more in week.with_m2.values())
        assert week.rule_m2[0] <= week.rule_m2[1]
    sure = room_by_week(system, bare, on, MIX, supplemented=added, confidence=0.83)
    even = room_by_week(system, bare, on, MIX, supplemented=added, confidence=0.5)
    assert all(a.next_m2 <= b.next_m2 for a, b in zip(sure, even, strict=True))


def test_the_band_is_the_users_choice(ran):
    system, _, on, added, _, bare = ran
    band = facts.feed_rate_bands()["fruiting"]
    week = room_by_week(system, bare, on, MIX, supplemented=added, band="fruiting")[0]
    feed = float(np.median(bare.at("feed_g_day", on)))
    assert week.rule_m2[1] == pytest.approx(feed / band.low_g_m2_day, rel=0.05)


@pytest.mark.parametrize(
    ("mix", "more", "text"),
    [({}, {}, "mix"), ({"moonflower": 1}, {}, "crop table"), ({"basil": 0}, {}, "above 0"),
     (MIX, {"band": "x"}, "band"), (MIX, {"supplemented": frozenset(FLOORS)}, "limits")],
)  # fmt: skip
def test_what_cannot_be_is_named(ran, mix, more, text):
    system, _, on, *_, bare = ran
    with pytest.raises(GardenError, match=text):
        room_by_week(system, bare, on, mix, **more)
