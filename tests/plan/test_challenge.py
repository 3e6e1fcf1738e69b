"""A dated full load that is gone a day later, logged: it counts as evidence, and twice running as proof."""

from datetime import timedelta

import pytest
from tests.fit.conftest import START, dose, loop, reading

from rillbed import fit
from rillbed.engine.run import full_load_mg_l
from rillbed.fit.cycled import cycled
from rillbed.garden.system import SourceWater
from rillbed.plan.cycling import challenge_passed
from rillbed.plan.ledger import additions

SYSTEM = loop(seeding="mature", source_water=SourceWater(alkalinity_meq_l=8.0))
VOLUME_M3 = SYSTEM.total_volume_m3
FULL_G = round(full_load_mg_l(SYSTEM) * VOLUME_M3 * 53.49 / 14.007, 1)  # ammonium chloride, by formula
DAY = 14
FED = [dose(day, FULL_G, hour=9.5) for day in range(0, DAY, 3)]


def both(day, tan=0, no2=0):
    return [reading(day, "tan", tan), reading(day, "no2", no2)]


ONCE = [*FED, *both(DAY), dose(DAY, FULL_G, hour=9.5), *both(DAY + 1)]
TWICE = [*ONCE, dose(DAY + 1, FULL_G, hour=9.5), *both(DAY + 2)]


def chance(log):
    return cycled(fit.fit(SYSTEM, log, on=START + timedelta(days=DAY + 2), budget="quick", members=200))


def passed(log):
    return challenge_passed(SYSTEM, log, additions(SYSTEM, log, 1000.0 * VOLUME_M3))


@pytest.fixture(scope="module")
def once():
    return chance(ONCE)


def test_a_full_load_gone_in_a_day_is_evidence_where_clear_water_alone_is_not(once):
    clear = chance([*FED, *both(DAY)])
    assert once > 0.9
    assert clear < once - 0.2


def test_a_full_load_that_is_still_there_is_evidence_against(once):
    assert chance([*ONCE[:-2], *both(DAY + 1, tan=2, no2=1)]) < once - 0.3


def test_twice_running_is_proof_once_is_not():
    assert not passed(ONCE)
    assert passed(TWICE)
    assert chance(TWICE) > 0.95


def test_what_is_no_full_load_or_was_read_too_high_or_too_late_proves_nothing():
    small = [*FED, *both(DAY), dose(DAY, FULL_G / 2), *both(DAY + 1), dose(DAY + 1, FULL_G / 2), *both(DAY + 2)]
    assert not passed(small)
    assert not passed([*TWICE[:-2], *both(DAY + 2, no2=0.5)])
    assert not passed([*TWICE[:-2], *both(DAY + 3)])
    assert not passed([*both(DAY), *both(DAY + 1), *both(DAY + 2)])
