"""The chance of a reading: against the specification's formula and by simulating a person with a kit."""

import numpy as np
import pytest
from scipy.stats import norm
from tests.fit.conftest import KITS, loop, reading

from rillbed.fit.evidence import evidence_of
from rillbed.fit.likelihood import bin_probability, together, with_slips
from rillbed.fit.noise import SHARED, Noise, noise_of
from rillbed.fit.setting import Setting
from rillbed.garden.kits import Kit
from rillbed.garden.readings import Reading

KIT = Noise(sd=0.25, least=0.05, additive=False, slip=0.03, bins=7)


def test_chances_of_all_steps_of_a_kit_sum_to_one():
    system = loop()
    for kit in KITS:
        noise = noise_of(system, Reading.of_step(kit, kit.steps[1]))
        water = noise.scale(np.array([0.0, 0.05, 0.3, 1.0, 4.0, 30.0, 400.0]))
        total = sum(
            with_slips(bin_probability(water, noise.ends(*Reading.of_step(kit, s).interval), noise.sd), noise)
            for s in kit.steps
        )
        np.testing.assert_allclose(total, 1.0, rtol=1e-12)


def test_a_simulated_reader_reads_as_often_as_stated():
    rng = np.random.default_rng(4)
    kit = KITS[0]
    noise = noise_of(loop(), Reading.of_step(kit, 1))
    seen = noise.scale(1.2) + noise.sd * rng.standard_normal(200_000)
    low, high = noise.ends(*Reading.of_step(kit, 1).interval)
    share = np.mean((seen > low) & (seen <= high))
    assert bin_probability(noise.scale(1.2), (low, high), noise.sd) == pytest.approx(share, abs=0.004)


def test_high_water_read_at_the_top_step_is_no_surprise():
    noise = noise_of(loop(), Reading.of_step(KITS[0], 5))
    ends = noise.ends(*Reading.of_step(KITS[0], 5).interval)
    assert np.isinf(ends[1])
    assert bin_probability(noise.scale(500.0), ends, noise.sd) > 0.999


def test_a_repeat_by_the_same_person_says_less_than_a_second_day():
    water = KIT.scale(np.array([0.5, 1.0, 2.0]))
    ends = KIT.ends(0.75, 1.5)
    twice = together([water, water], [ends, ends], KIT)
    apart = together([water], [ends], KIT) ** 2
    assert (twice[1] / twice[0]) < (apart[1] / apart[0])
    assert twice[1] > apart[1]


def test_the_shared_error_is_integrated_as_a_fine_grid_does():
    water, ends = KIT.scale(np.array([0.9])), KIT.ends(0.75, 1.5)
    grid = np.linspace(-6, 6, 4001)
    one = with_slips(
        norm.cdf((ends[1] - water - KIT.sd * SHARED**0.5 * grid) / (KIT.sd * (1 - SHARED) ** 0.5))
        - norm.cdf((ends[0] - water - KIT.sd * SHARED**0.5 * grid) / (KIT.sd * (1 - SHARED) ** 0.5)), KIT,
    )  # fmt: skip
    exact = np.trapezoid(one**2 * norm.pdf(grid), grid)
    assert together([water, water], [ends, ends], KIT)[0] == pytest.approx(exact, rel=0.03)


def test_a_meter_is_sharper_than_drops_and_drops_than_a_strip():
    kinds = {
        "strip": Kit(name="s", quantity="no3", kind="strip", unit="mg/L", basis="n", steps=(0, 10, 20, 50)),
        "drops": Kit(name="d", quantity="no3", kind="drops", unit="mg/L", basis="n", steps=(0, 10, 20, 50)),
        "meter": Kit(name="m", quantity="no3", kind="meter", unit="mg/L", basis="n"),
    }
    sd = [noise_of(loop(kits=(k,)), Reading.of_step(k, 20.0)).sd for k in kinds.values()]
    assert sd[0] > sd[1] > sd[2] > 0.0


def terms(system, log, water, **how):
    setting = Setting.of(system, log, system.started_on.replace(month=6))
    evidence = evidence_of(setting)
    c = setting.coordinates(evidence.nuisances)
    z = np.zeros((len(c.names), len(water)))
    return evidence, evidence.terms({look: np.array(water) for look in evidence.looks}, c, z)[0]


def test_bias_of_a_kit_is_summed_as_a_fine_grid_does():
    log = [reading(d, "no3", 20) for d in range(1, 9)]
    _, rows = terms(loop(), log, [14.0, 20.0, 26.0])
    noise = noise_of(loop(), log[0].payload)
    ends = noise.ends(*log[0].payload.interval)
    grid = np.linspace(-5, 5, 4001)
    for water, total in zip((14.0, 20.0, 26.0), rows.sum(axis=0), strict=True):
        each = with_slips(bin_probability(noise.scale(water * np.exp(0.2 * grid)), ends, noise.sd), noise)
        exact = np.log(np.trapezoid(each**8 * norm.pdf(grid), grid))
        assert total == pytest.approx(exact, abs=0.02)


def test_many_readings_of_one_kit_never_fix_the_level_closer_than_its_bias():
    log = [reading(d, "no3", 20) for d in range(1, 60)]
    water = np.exp(np.linspace(np.log(5), np.log(80), 400))
    _, rows = terms(loop(), log, water)
    p = np.exp(rows.sum(0) - rows.sum(0).max()) / np.exp(rows.sum(0) - rows.sum(0).max()).sum()
    mean = p @ np.log(water)
    sd = np.sqrt(p @ (np.log(water) - mean) ** 2)
    assert 0.15 < sd < 0.4


def test_a_card_that_does_not_say_what_it_counts_allows_both():
    unsaid = Kit(name="?", quantity="no3", unit="mg/L", steps=(0, 5, 10, 20, 50, 100))
    log = [reading(d, "no3", 50, kit=unsaid) for d in range(1, 6)]
    _, rows = terms(loop(kits=(unsaid,)), log, [50.0, 50.0 / 4.427, 22.0])
    total = rows.sum(axis=0)
    assert total[0] == pytest.approx(total[1], abs=0.5)
    assert total[2] < total[0] - 2.0


def test_two_readers_may_differ():
    log = [reading(1, "no3", 20, author="a"), reading(1, "no3", 50, author="b")]
    evidence, _ = terms(loop(), log, [30.0])
    assert evidence.nuisances == ("reader:a:no3:no3", "reader:b:no3:no3")
    assert len(evidence.sessions) == 2
