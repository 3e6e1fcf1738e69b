"""The hourly scheme against LSODA on the same rates, and against itself at half the step."""

import numpy as np
import pytest

from rillbed.engine.exact import ExactRun
from rillbed.engine.inputs import Event
from rillbed.engine.simulate import Run

LOOP = {"volume_m3": 1.3, "bed_area_m2": 3.0, "feed": {"content": {"p": 12.0}, "dissolved": {"p": 0.2}}}
EVENTS = [Event(0, "fish_in", {"count": 25, "weight_g": 20}, "any"), Event(0, "plant", {"count": 30}, "any")]
BOUNDS = {"tan_mg_l": (0.05, 0.1), "no2_mg_l": (0.05, 0.1), "no3_mg_l": (0.02, 0.5)}  # of the issue
POND = {"cap_a0": (0.03, 1.2)}


def column(run, name):
    return run.columns[name].astype(float)


@pytest.fixture
def exact(play):
    return play(LOOP, 30, members=100, kind=ExactRun, events=EVENTS, table=POND)


def test_every_day_end_of_100_members_is_within_the_bounds(play, exact):
    run = play(LOOP, 30, members=100, events=EVENTS, table=POND)
    for name, (share, least) in BOUNDS.items():
        truth = column(exact, name)
        assert (np.abs(column(run, name) - truth) <= share * truth + least).all(), name
    assert column(exact, "tan_mg_l").max() > 2.0  # the case has something to get wrong
    assert column(exact, "no2_mg_l").max() > 3.0
    assert np.abs(column(run, "ph") - column(exact, "ph")).max() < 0.05


def test_halving_the_step_halves_the_error(play):
    days = 12
    truth = play(LOOP, days, members=20, kind=ExactRun, events=EVENTS, table=POND)
    errors = [
        np.abs(column(play(LOOP, days, members=20, events=EVENTS, table=POND, steps_per_day=n), "no2_mg_l")
               - column(truth, "no2_mg_l")).max()
        for n in (24, 48, 96)
    ]  # fmt: skip
    assert errors[0] / errors[1] == pytest.approx(2.0, abs=0.3)
    assert errors[1] / errors[2] == pytest.approx(2.0, abs=0.3)


def test_the_reference_keeps_its_nitrogen_too(exact):
    assert exact.books.worst["n"].max() < 1e-9


def test_a_wrong_rate_would_be_seen(play, exact, monkeypatch):
    from rillbed.science import nitrifier

    monkeypatch.setattr(nitrifier, "OXYGEN_HALF_AMMONIA_STEP_MG_L", 2.0)
    run = play(LOOP, 30, members=100, events=EVENTS, table=POND, kind=Run)
    truth = column(exact, "tan_mg_l")
    assert (np.abs(column(run, "tan_mg_l") - truth) > 0.05 * truth + 0.1).any()
