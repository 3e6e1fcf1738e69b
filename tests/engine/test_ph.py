"""pH of the steps against the full bench."""

import numpy as np
import pytest

from rillbed.engine import hourly, rates, rules
from rillbed.engine.chem import ionic_strength
from rillbed.engine.future import Future
from rillbed.engine.inputs import Event
from rillbed.engine.state import S
from rillbed.science import carbonate

LOOP = {"temp_c": (24.0,) * 12}


def bench(run):
    co2_mmol_l = run.y[S.CO2]
    return carbonate.speciate(
        run.temp, run.y[S.ALK], ionic_strength(run.y), pco2_uatm=co2_mmol_l * 1e3 / henry(run.temp),
        tan_mg_l=run.y[S.TAN], po4_p_mg_l=run.y[S.P],
    )  # fmt: skip


def henry(temp_c):
    from rillbed.science import equilibria

    return equilibria.henry_co2(temp_c)


@pytest.mark.parametrize("tan", [0.0, 2.0, 8.0])
@pytest.mark.parametrize("alk", [-1.5, 0.5, 3.0])  # on top of 2.4 eq in the cubic metre
def test_the_short_form_agrees_with_the_bench(play, tan, alk):
    run = play(LOOP, 2, members=20, events=[Event(0, "dose", {"tan": tan, "p": 3.0, "alk": alk})])
    np.testing.assert_allclose(run.columns["ph"][-1], bench(run).ph, atol=0.02)


@pytest.mark.parametrize("tan", [0.0, 4.0])
def test_above_8_8_the_step_is_the_bench(play, tan):
    run = play(LOOP, 2, members=20, events=[Event(0, "dose", {"tan": tan, "p": 3.0})])
    run.y[S.CO2] = 1e-4  # as algae leave it
    day = rates.of_day(run, np.zeros(20))
    h = hourly.protons(run.y, day, run.h)
    np.testing.assert_allclose(hourly.ph_of(h), bench(run).ph, atol=1e-6)
    assert hourly.ph_of(h).min() > 9.0
    short = carbonate.step_hydrogen(run.y[S.CO2], run.y[S.ALK], day.k1, day.rho, day.gamma1, day.kw)
    assert np.abs(hourly.ph_of(short) - bench(run).ph).max() > 1e-3  # what the short form alone would miss


@pytest.mark.parametrize("form", ["bicarbonate", "carbonate", "hydroxide"])
def test_no_day_of_base_lifts_ph_by_more_than_the_cap(play, form):
    soft = LOOP | {"source": {"alk": 0.4}}
    future = Future(base_floor_meq_l=0.8, base_target_meq_l=2.0, base_form=form)
    run = play(soft, 1, members=20, free_from=1, future=future)
    steps = []
    for _ in range(40):
        day = rates.of_day(run, np.zeros(20))
        before = hourly.ph_of(hourly.protons(run.y, day, run.h))
        rules.base(run)
        after = hourly.ph_of(hourly.protons(run.y, rates.of_day(run, np.zeros(20)), run.h))
        steps.append(after - before)
        run.y[S.CO2] = day.co2_eq  # the air evens it out by the next day
    assert np.max(steps) < 0.21
    assert steps[0].min() > 0.15  # and it is used
    reached = {"bicarbonate": 2.0, "carbonate": 0.7, "hydroxide": 0.55}  # little CO2, little hydroxide a day
    assert run.y[S.ALK].min() > reached[form] - 0.01


@pytest.mark.parametrize("form", ["bicarbonate", "carbonate", "hydroxide"])
def test_water_out_of_co2_does_not_stop_a_run(play, form):
    future = Future(base_floor_meq_l=0.8, base_target_meq_l=2.0, base_form=form)
    run = play(LOOP | {"source": {"alk": 0.4}}, 1, members=20, free_from=1, future=future)
    run.y[S.CO2] = 0.0
    before = run.y[S.ALK].copy()
    rules.base(run)
    given = run.y[S.ALK] - before
    assert (given > 0.1).all() if form == "bicarbonate" else (given < 1e-9).all()
    assert run.y[S.CO2].min() >= 0.0
