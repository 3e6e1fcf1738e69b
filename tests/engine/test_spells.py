"""Days away of the log: less is fed in them, before the last day of the log and after it."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from rillbed import engine
from rillbed.engine.future import Pause
from rillbed.engine.happened import pauses_of
from rillbed.fit import fit, forecast
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import effective
from rillbed.garden.log import LogEntry
from rillbed.garden.spells import must_be_free, spell_on, spells
from rillbed.garden.system import System

START = date(2031, 4, 1)
ON = START + timedelta(days=12)
SYSTEM = System.make({
    "name": "made up", "latitude_deg": 40.0, "place": "indoors", "startup_path": "running", "started_on": START,
    "water_temp_c": [24.0] * 12, "feed": "pellet_32", "tanks": [{"name": "tank", "volume_l": 1500}],
    "beds": [{"name": "bed", "kind": "media", "area_m2": 3.0}],
})  # fmt: skip


def entry(number, kind, payload, day=0, **more):
    at = datetime(2031, 4, 1, 9, tzinfo=UTC) + timedelta(days=day)
    told = {"uuid": UUID(int=number), "at": at, "author": "k", "kind": kind, "payload": payload}
    return LogEntry.make(told | more)


FISH = entry(1, "fish_in", {"species": "nile_tilapia", "count": 12, "weight": "60 g", "group": "fish"})


def spell(first, last, share=0.5, number=2, **more):
    told = {"name": "break", "first": str(START + timedelta(days=first)), "last": str(START + timedelta(days=last))}
    return entry(number, "away", told | {"feed_share": share, "by": "Ann" if share else ""}, **more)


def fed(log, **how):
    run = engine.forecast(SYSTEM, [FISH, *log], on=ON, horizon_days=20, members=6, seed=1, **how)
    return run.columns["feed_g_day"].astype(float), run


def test_a_spell_lowers_the_feed_of_past_days_nobody_logged_and_of_days_to_come() -> None:
    plain, without = fed([])
    less, run = fed([spell(8, 16)])
    assert run.digest != without.digest
    np.testing.assert_array_equal(less[:8], plain[:8])
    # On its first day the fish weigh what they would weigh without it.
    np.testing.assert_allclose(less[8], 0.5 * plain[8], rtol=1e-5)
    assert (less[8:17] < 0.6 * plain[8:17]).all()
    assert (less[17:22] > 0.75 * plain[17:22]).all()
    none, _ = fed([spell(8, 16, 0.0)])
    assert (none[8:17] == 0.0).all()
    assert (none[17] > 0.0).all()


def test_what_was_logged_was_given_whatever_the_spell_says() -> None:
    given = entry(3, "feeding", {"feed": "pellet_32", "amount": "7 g"}, day=9)
    less, _ = fed([spell(8, 10, 0.0), given])
    np.testing.assert_allclose(less[9], 7.0, rtol=1e-5)
    assert (less[[8, 10]] == 0.0).all()


def test_a_spell_taken_back_or_moved_is_as_if_it_had_never_been_so() -> None:
    plain, without = fed([])
    gone = entry(4, "withdrawn", {}, day=1, supersedes=UUID(int=2))
    undone, run = fed([spell(8, 16), gone])
    assert run.digest == without.digest
    np.testing.assert_array_equal(undone, plain)
    moved = spell(14, 15, number=5, supersedes=UUID(int=2), recorded_at=datetime(2031, 4, 3, tzinfo=UTC))
    assert pauses_of(effective([FISH, spell(8, 16), moved])) == (
        Pause(START + timedelta(days=14), START + timedelta(days=15), 0.5),
    )


def test_the_fit_and_its_forecast_know_the_spell_also_in_the_days_of_the_log() -> None:
    log = [FISH, spell(4, 14, 0.0)]
    known = fit(SYSTEM, log, on=ON, members=8)
    run = forecast(SYSTEM, log, on=ON, horizon_days=5, members=8, posterior=known)
    grams = run.columns["feed_g_day"]
    assert (grams[4:15] == 0.0).all()
    assert (grams[[2, 3, 15, 16]] > 0.0).all()


def test_the_spell_of_least_feed_counts_on_a_day_and_none_may_be_added_over_another() -> None:
    log = [spell(8, 16), spell(12, 13, 0.0, number=3)]
    assert [one.first for _, one in spells(log)] == [START + timedelta(days=8), START + timedelta(days=12)]
    assert spell_on(log, START + timedelta(days=12)).feed_share == 0.0
    assert spell_on(log, START + timedelta(days=17)) is None
    new = spell(16, 20, number=9).payload
    with pytest.raises(GardenError, match="break") as refused:
        must_be_free(log[:1], new)
    assert refused.value.field == "first"
    with pytest.raises(GardenError) as refused:
        must_be_free(log[:1], spell(2, 9, number=9).payload)
    assert refused.value.field == "last"
    must_be_free(log[:1], new, but=UUID(int=2))
    must_be_free(log[:1], spell(17, 20, number=9).payload)
