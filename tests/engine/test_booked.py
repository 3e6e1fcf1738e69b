"""What moved each element is booked by cause, and the causes add up to what the water holds."""

from datetime import date, timedelta

import numpy as np
import pytest

from rillbed.engine import forecast
from rillbed.engine.books import MARKS
from rillbed.garden.example import load

ELEMENTS = ("k", "ca", "mg", "fe", "p", "s", "na", "cl")


@pytest.fixture(scope="module")
def run():
    system, entries = load(date(2031, 9, 1))
    on = system.started_on + timedelta(days=120)
    return forecast(system, entries, on=on, horizon_days=30, members=6)


@pytest.mark.parametrize("element", ELEMENTS)
@pytest.mark.parametrize("mark", range(len(MARKS)))
def test_causes_add_up_to_what_the_water_holds(run, element, mark):
    day = run.on + timedelta(days=MARKS[mark])
    held = run.at(f"{element}_mg_l", day) * run.at("volume_m3", day)
    moved = sum(grams[mark] for key, grams in run.booked.items() if key.split(".")[0] == element)
    turned = sum(np.abs(grams[mark]) for key, grams in run.booked.items() if key.split(".")[0] == element)
    assert np.abs(run.first_g[element] + moved - held).max() < 1e-5 * (turned + run.first_g[element]).max()


def test_feed_brings_and_plants_take(run):
    assert (run.booked["k.feed.in"][1] > 0.0).all()
    assert (run.booked["k.plants.out"][1] < 0.0).all()
    assert (run.booked["fe.settled.out"][1] < 0.0).all()
    assert (run.booked["k.feed.in"][1] > run.booked["k.feed.in"][0]).all()
