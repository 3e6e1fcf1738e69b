"""Loops nobody would think of: a thousand valid systems run 90 days, keep their books and stay numbers.

They are members of few runs. What the members of a run share (feed, meals, fish, crop, rules) goes round with the
run; everything else is each one's own.
"""

from datetime import date
from functools import cache

import numpy as np
import pytest

from rillbed import facts
from rillbed.engine import members, pack
from rillbed.engine.cropping import crop_of
from rillbed.engine.future import Arrival, Future, Sowing
from rillbed.engine.simulate import Run
from rillbed.garden.system import Bed, SourceWater, System, Tank

START = date(2025, 4, 1)
RUNS, MEMBERS, DAYS = 12, 84, 90
SIGNED = ("alkalinity_meq_l", "n_unexplained", "temp_c")
SPECIES, CROPS, FEEDS, TOWNS = (sorted(t) for t in (facts.species(), facts.crops(), facts.feeds(), facts.towns()))
MEDIA = [None, *sorted(facts.media())]
WATERS = {"alkalinity_meq_l": 8.0, "ca_mg_l": 150.0, "mg_mg_l": 60.0, "k_mg_l": 30.0, "na_mg_l": 200.0,
          "cl_mg_l": 300.0, "so4_s_mg_l": 80.0, "no3_n_mg_l": 25.0, "p_mg_l": 3.0, "fe_mg_l": 2.0}  # fmt: skip


def water(rng):
    """Unknown, distilled, or anything up to very hard."""
    some = {name: rng.choice([0.0, rng.uniform(0.0, most)]) for name, most in WATERS.items() if rng.random() < 0.7}
    return SourceWater(**some)


def bed(rng, kind, i):
    return Bed(name=f"bed {i}", kind=kind, area_m2=np.exp(rng.uniform(np.log(0.1), np.log(100.0))),
               medium=rng.choice(MEDIA) if kind == "media" else None, depth_cm=rng.choice([None, 10, 40]),
               water_depth_cm=rng.choice([None, 5, 30]))  # fmt: skip


def system(rng, shared):
    tanks = tuple(
        Tank(name=f"tank {i}", volume_l=np.exp(rng.uniform(np.log(20.0), np.log(30_000.0))))
        for i in range(rng.integers(1, 4))
    )
    kinds = ["media", "raft", "nft"] if shared["media"] else ["raft", "nft"]
    first = ["media"] if shared["media"] else ["raft"]
    beds = [bed(rng, kind, i) for i, kind in enumerate([*first, *rng.choice(kinds, rng.integers(0, 3))])]
    return System(
        name="random", latitude_deg=rng.uniform(-60.0, 65.0), longitude_deg=rng.uniform(-180.0, 180.0),
        elevation_m=rng.uniform(0.0, 3000.0), place=rng.choice(["indoors", "greenhouse", "outdoors"]),
        town=rng.choice([None, *TOWNS]), tanks=tanks, beds=tuple(beds),
        aeration=rng.choice(["stones", "cascade", "strong"]), source_water=water(rng),
        seeding=rng.choice(["none", "pond", "mature"]), heater_set_c=rng.choice([None, 18.0, 26.0]),
        water_temp_c=tuple(rng.uniform(4.0, 33.0, 12)) if rng.random() < 0.3 else None, feed=shared["feed"],
        meals_per_day=shared["meals"], started_on=START,
        startup_path=rng.choice(["fishless", "fish_in", "stocked", "running"]),
    )  # fmt: skip


@cache
def run_of(number):
    """Make one run of `MEMBERS` systems; species, crops, feeds and rules take their turn."""
    rng = np.random.default_rng(number)
    shared = {
        "media": number % 3 > 0,
        "feed": [None, *FEEDS][number % (len(FEEDS) + 1)],
        "meals": int(rng.integers(1, 7)),
    }
    loop, params = members.side_by_side([system(rng, shared) for _ in range(MEMBERS)], number)
    species = [SPECIES[(RUNS * i + number) % len(SPECIES)] for i in range(3)] if number % 7 else []
    crops = [CROPS[(RUNS * i + number) % len(CROPS)] for i in range(6)] if number % 5 else []
    future = Future(
        refill_to_mg_l=2.0 if number % 2 else None, base_floor_meq_l=0.8 if number % 4 else None,
        base_form=("bicarbonate", "carbonate", "hydroxide")[number % 3], drain_l_day=float(number % 3),
        supplement_to_mg_l=(("k", 20.0), ("fe", 1.0)) if number % 2 else (),
        fish=tuple(Arrival(s, int(rng.integers(1, 200)), rng.uniform(1.0, 800.0), START) for s in species),
        plantings=tuple(Sowing(c, int(rng.integers(1, 300)), START) for c in crops),
    )  # fmt: skip
    return Run(
        loop, params, start=START, days=DAYS, free_from=0, future=future,
        species={s: pack.fish_of(s) for s in species}, crops={c: crop_of(c) for c in crops},
    )  # fmt: skip


@pytest.mark.parametrize("number", range(RUNS))
def test_any_valid_loop_runs_90_days_and_closes_its_books(number):
    run = run_of(number)
    for d in range(DAYS):
        run.day(d)
    assert {"n", "k", "ca", "mg", "fe", "p", "s", "na", "cl", "charge", "water"} == set(run.books.worst)
    for what, worst in run.books.worst.items():
        assert worst.max() < 1e-9, what
    for name, value in run.columns.items():
        assert np.isfinite(value).all(), name
        assert name in SIGNED or value.min() >= 0.0, name
    assert np.isfinite(run.y).all()
    # without oxygen decay still makes CO2, and roots do not draw acid water on into mineral acid
    assert run.columns["ph"].min() > 3.0
    assert run.columns["ph"].max() < 10.5
    assert np.delete(run.y, 9, axis=0).min() >= 0.0  # row 9 is alkalinity


def test_some_of_them_use_up_their_oxygen():
    runs = [run_of(n) for n in range(1, 4)]
    for run in runs:
        if not run.columns["tan_mg_l"].any():
            for d in range(DAYS):
                run.day(d)
    starved = [(run.columns["o2_mg_l"] < 0.05).sum() for run in runs]
    assert min(starved) > 100  # days: what the bounds on pH are there for


def test_a_thousand_different_systems_are_run():
    assert RUNS * MEMBERS >= 1000
    runs = [run_of(n) for n in range(RUNS)]
    volumes = np.concatenate([r.loop.volume_m3 for r in runs])
    assert len(np.unique(volumes)) == len(volumes)
    assert volumes.min() < 0.1
    assert volumes.max() > 10.0
    assert {s for r in runs for s in r.species} == set(SPECIES)
    assert len({c for r in runs for c in r.crops}) > 0.6 * len(CROPS)


def test_what_cannot_be_stacked_is_refused():
    rng = np.random.default_rng(1)
    one, other = (system(rng, {"media": True, "feed": None, "meals": m}) for m in (1, 2))
    with pytest.raises(ValueError, match="meals: members of one run must have the same"):
        members.side_by_side([one, other], 1)


def test_a_stacked_member_is_the_loop_it_would_be_alone():
    rng = np.random.default_rng(7)
    systems = [system(rng, {"media": True, "feed": None, "meals": 2}) for _ in range(5)]

    def play(loop, params):
        run = Run(loop, params, start=START, days=20, free_from=0, future=Future(refill_to_mg_l=2.0))
        for d in range(20):
            run.day(d)
        return run.columns

    loop, params = members.side_by_side(systems, 3)
    together = play(loop, params)
    for i, each in enumerate(systems):
        alone = play(pack.loop_of(each), {name: value[i : i + 1] for name, value in params.items()})
        for name, value in alone.items():
            np.testing.assert_allclose(value[:, 0], together[name][:, i], rtol=1e-6, atol=1e-9, err_msg=name)
