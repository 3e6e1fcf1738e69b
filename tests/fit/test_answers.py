"""What a fit says besides its members: what was learned, foreseen, contradicted, and whether the loop is cycled."""

from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest
from tests.fit.conftest import START, dose, entry, loop, reading

from rillbed import fit
from rillbed.fit.cycled import cycled
from rillbed.fit.follow import Look
from rillbed.fit.setting import Setting
from rillbed.garden.kits import Kit
from rillbed.garden.system import SourceWater

FISH = {"species": "nile_tilapia", "count": 15, "weight": {"value": 60, "unit": "g"}, "group": "a"}


@pytest.fixture(scope="module")
def fitted(startup):
    return fit.fit(*startup, on=START + timedelta(days=10))


def nitrate_log(system, days, spoil):
    """Weekly nitrate tests of a median loop with fish, each at the step that fits; `spoil` changes the water read."""
    log = [entry(0, "fish_in", FISH)]
    setting = Setting.of(system, log, START + timedelta(days=max(days)))
    c = setting.coordinates()
    looks = [Look(d, "no3", 9.0) for d in days]
    run = setting.run(c, np.zeros((len(c.names), 1)), days=max(days) + 1, looks=looks)
    for d in range(max(days) + 1):
        run.day(d)
    steps = np.array(FINE.steps)
    for look in looks:
        water = spoil(look.day, float(run.seen[look][0]))
        middles = (steps[:-1] + steps[1:]) / 2
        log.append(reading(look.day, "no3", float(steps[np.searchsorted(middles, water)]), kit=FINE))
    return log


FINE = Kit(name="fine", quantity="no3", unit="mg/L", basis="n", steps=(0, 1, 2, 4, 6, 8, 12, 16, 20, 28, 36, 48, 64))
DAYS = tuple(range(6, 70, 7))
RUNNING = loop(startup_path="running", kits=(FINE,))
ON = START + timedelta(days=69)


def test_few_directions_are_learned_and_they_are_of_the_bacteria(fitted):
    found = fitted.directions
    assert 1 <= len(found) <= 7
    assert all(d.spread < np.sqrt(0.5) for d in found)
    assert all(a.spread <= b.spread for a, b in pairwise(found))
    assert found[0].loads[0][0] in {"cap_a0", "mu_a", "xi_nitrif.0", "cap_ratio", "mu_n"}
    assert sum(load**2 for _, load in found[0].loads) > 0.5


def test_what_no_kit_sees_is_never_listed(fitted):
    assert not {"dm_gain", "et_factor", "tgc_factor", "fe_loss", "solids_share_raft"} & set(fitted.spreads)


def test_every_reading_is_scored_once_and_before_it_was_used(fitted, startup):
    scores = fitted.skill
    assert [s.day for s in scores] == sorted(s.day for s in scores)
    assert {s.entry for s in scores} == {e.uuid for e in startup[1] if e.kind == "reading"}
    assert all(0.0 < s.probability <= 1.0 and 0.0 <= s.place <= 1.0 for s in scores)
    first = fit.fit(startup[0], [e for e in startup[1] if e.kind != "reading" or e.at.day <= 2],
                    on=START + timedelta(days=3))  # fmt: skip
    early = {s.entry: s.probability for s in first.skill}
    for s in scores:
        if s.entry in early:
            assert s.probability == pytest.approx(early[s.entry], rel=0.25, abs=0.03)


def test_a_slip_is_held_out_and_called_a_slip():
    log = nitrate_log(RUNNING, DAYS, lambda d, c: c if d != 41 else 0.0)
    found = fit.fit(RUNNING, log, on=ON).held_out
    assert [(q.day, q.quantity, q.event) for q in found] == [(41, "no3", "water_left")]
    assert found[0].misread > 0.9
    assert found[0].low > 1.0


def test_water_that_left_unlogged_is_told_from_a_slip():
    log = nitrate_log(RUNNING, DAYS, lambda d, c: c if d < 41 else 0.3 * c)
    found = fit.fit(RUNNING, log, on=ON).held_out
    assert found
    assert found[0].day == 41
    assert found[0].event == "water_left"
    assert found[0].misread < 0.1
    assert found[0].size >= 0.5


def test_the_last_reading_alone_cannot_be_settled():
    log = nitrate_log(RUNNING, DAYS, lambda d, c: c if d < DAYS[-1] else 0.0)
    found = fit.fit(RUNNING, log, on=ON).held_out
    assert [q.day for q in found] == [DAYS[-1]]
    assert 0.02 < found[0].misread < 0.98


def test_a_log_that_fits_has_nothing_held_out():
    assert fit.fit(RUNNING, nitrate_log(RUNNING, DAYS, lambda d, c: c), on=ON).held_out == ()


def test_zeros_on_one_day_do_not_make_a_cycled_loop():
    system = loop()
    zeros = [reading(3, q, 0) for q in ("tan", "no2", "no3")]
    posterior = fit.fit(system, zeros, on=START + timedelta(days=3))
    assert cycled(posterior) < 0.02


def test_a_start_that_turns_over_every_dose_is_cycled():
    """The median seeded loop, dosed every second day, read every day: it turns over its load from about day 12 on."""
    system = loop(seeding="mature", source_water=SourceWater(alkalinity_meq_l=6.0))
    days = range(1, 24)
    log = [dose(day, 8.0, hour=1.0) for day in range(0, 24, 2)]
    setting = Setting.of(system, log, START + timedelta(days=23))
    c = setting.coordinates()
    looks = [Look(d, q, 22.0) for d in days for q in ("tan", "no2")]
    run = setting.run(c, np.zeros((len(c.names), 1)), days=24, looks=looks)
    for d in range(24):
        run.day(d)
    for look in looks:
        steps = np.array([0, 0.1, 0.2, 0.5, 1, 2, 5])
        shown = steps[np.searchsorted((steps[:-1] + steps[1:]) / 2, run.seen[look][0])]
        log.append(reading(look.day, look.what, float(shown), hour=22.0))
    assert cycled(fit.fit(system, log, on=START + timedelta(days=23))) > 0.8
    assert cycled(fit.fit(system, log, on=START + timedelta(days=3))) < 0.3


def test_what_would_sharpen_names_only_what_the_log_lacks(fitted):
    acts = [s.act for s in fitted.sharpen()]
    assert "weigh_harvest" not in acts
    assert "weigh_fish" not in acts
    assert "log_topup" in acts
    log = [entry(0, "fish_in", FISH), entry(1, "feeding", {"feed": "pellet_36", "amount": "20 g", "group": "a"}),
           entry(0, "planted", {"crop": "lettuce_loose", "count": 20, "bed": "bed"})]  # fmt: skip
    posterior = fit.fit(RUNNING, [*log, reading(6, "no3", 20, kit=FINE)], on=START + timedelta(days=10), members=200)
    f = fit.forecast(RUNNING, log, on=START + timedelta(days=10), horizon_days=30, members=200, posterior=posterior)
    found = posterior.sharpen(f.columns["fish_weight_g"][40].astype(float))
    assert {"weigh_harvest", "log_topup", "weigh_scoop", "weigh_fish", "test_potassium"} <= {s.act for s in found}
    assert found[0].act == "weigh_fish"
    assert found[0].share > 0.5
    assert all(0.0 <= s.share <= 1.0 for s in found)


def test_without_evidence_nothing_is_claimed():
    posterior = fit.fit(loop(), [], on=START + timedelta(days=5), members=50)
    assert posterior.directions == posterior.skill == posterior.held_out == ()
    assert posterior.spreads == {}
